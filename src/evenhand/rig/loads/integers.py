"""Whole numbers: chains of hashes, and products of numbers of 256 Kibit, each begun from the one before."""

from __future__ import annotations

import hashlib

from evenhand.rig.loads.known import Touch, Work

LINKS = 8  # of a chain and a product each
TURNS = 20_000  # of the hash in one link
BYTES = 2**15  # of each factor


def begin(_size: int) -> Work:
    """Nothing to prepare."""
    return digest


def digest(case: int, touch: Touch) -> str:
    """The end of this case's chain."""
    state = hashlib.sha256(b"integers %d" % case).digest()
    for _ in range(LINKS):
        held = bytearray(hashlib.pbkdf2_hmac("sha256", state, b"link", TURNS))
        touch(memoryview(held))
        product = bytearray(product_of(bytes(held)))
        touch(memoryview(product))
        state = hashlib.sha512(product).digest()
    return hashlib.sha256(state).hexdigest()


def product_of(state: bytes) -> bytes:
    """The product of two long numbers that a state gives, least byte first."""
    one = int.from_bytes(hashlib.shake_128(state + b"one").digest(BYTES), "little")
    other = int.from_bytes(hashlib.shake_128(state + b"other").digest(BYTES), "little")
    return (one * other).to_bytes(2 * BYTES, "little")
