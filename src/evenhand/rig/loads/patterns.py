"""Memory: filled with a pattern, compared, moved by one block, compared again.

The length of a block is a prime, so that two places whose addresses differ by a power of two hold another
part of the pattern each. The answer is the digest of the pattern, or of the first block that is another.
"""

from __future__ import annotations

import hashlib

from evenhand.rig.loads.known import Touch, Work

BLOCK = 1_048_583  # bytes, the first prime above 1 MiB
LEAST = 256 * 2**20  # bytes that a round goes over; what is smaller is gone over several times


def begin(size: int) -> Work:
    """Takes as many bytes as whole blocks fit in `size`, two at the least."""
    blocks = max(2, size // BLOCK)
    held = bytearray(blocks * BLOCK)
    times = max(1, LEAST // len(held))
    patterns = [pattern(case) for case in range(8)]

    def digest(case: int, touch: Touch) -> str:
        wanted = patterns[case]
        for _ in range(times):
            other = gone_over(held, wanted, touch)
            if other is not None:
                return hashlib.sha256(other).hexdigest()
        return hashlib.sha256(wanted).hexdigest()

    return digest


def gone_over(held: bytearray, wanted: bytes, touch: Touch) -> bytes | None:
    """Fills, compares, moves and compares; the first block that is not what it should be, or None."""
    with memoryview(held) as view:
        for start in range(0, len(held), BLOCK):
            view[start : start + BLOCK] = wanted
        touch(view)
        other = differing(held, wanted)
        if other is not None:
            return other
        view[:-BLOCK] = view[BLOCK:]
        touch(view)
    return differing(held, wanted)


def differing(held: bytearray, wanted: bytes) -> bytes | None:
    """The first block that is not the wanted one."""
    for start in range(0, len(held), BLOCK):
        block = held[start : start + BLOCK]
        if block != wanted:
            return bytes(block)
    return None


def pattern(case: int) -> bytes:
    """A block: zeros, ones, every other bit, one walking, chance; each with its opposite."""
    walking = bytes(1 << bit for bit in range(8))
    short = {0: b"\x00", 1: b"\xff", 2: b"\x55", 3: b"\xaa", 4: walking, 5: bytes(255 - b for b in walking)}
    if case in short:
        return (short[case] * BLOCK)[:BLOCK]
    chance = hashlib.shake_128(b"patterns").digest(BLOCK)
    return chance if case == 6 else bytes(255 - byte for byte in chance)
