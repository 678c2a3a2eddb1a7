"""A WebP chunk by chunk: its sides, and the same without notes.

RFC 9649: a RIFF file of chunks, each its type, its length in four bytes, little-endian, and padded data.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

from evenhand.images.picture import Picture, bad, check_sides, cut_off
from evenhand.images.turning import UPRIGHT, only_turned, turned

MEDIA = "image/webp"

_LOSSY_MARK = b"\x9d\x01\x2a"
_LOSSLESS_MARK = 0x2F
_MOVES, _HAS_EXIF, _HAS_ALPHA = 0x02, 0x08, 0x10
_EXIF = b"Exif\x00\x00"


def read_webp(data: bytes) -> Picture:
    """A WebP without notes, profiles and whatever hangs behind it. Raises BadRecord, also where it moves."""
    chunks = dict(_chunks(data))
    drawn: dict[bytes, bytes] = {kind: chunks[kind] for kind in (b"ALPH", b"VP8 ", b"VP8L") if kind in chunks}
    if b"ANMF" in chunks or b"ANIM" in chunks:
        raise bad("the picture moves", "send a picture that stands still")
    sides = _sides(drawn)
    check_sides(*sides)
    how = turned(chunks.get(b"EXIF", b"").removeprefix(_EXIF))
    kept = [_chunk(kind, body) for kind, body in drawn.items()]
    if b"VP8X" in chunks:
        kept = [_chunk(b"VP8X", _features(chunks[b"VP8X"], sides, how)), *kept]
        kept += [] if how == UPRIGHT else [_chunk(b"EXIF", only_turned(how))]
    body = b"WEBP" + b"".join(kept)
    return Picture(media=MEDIA, width=sides[0], height=sides[1], data=_chunk(b"RIFF", body))


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Each chunk, the first of a type last, so that it stands."""
    (whole,) = struct.unpack_from("<I", data.ljust(12, b"\0"), 4)
    if 8 + whole > len(data):
        raise cut_off()
    found: list[tuple[bytes, bytes]] = []
    at = 12
    while at + 8 <= 8 + whole:
        kind, length = struct.unpack_from("<4sI", data, at)
        if at + 8 + length > 8 + whole:
            raise cut_off()
        found.append((kind, data[at + 8 : at + 8 + length]))
        at += 8 + length + length % 2
    return reversed(found)


def _sides(drawn: dict[bytes, bytes]) -> tuple[int, int]:
    """Width and height as the pixels themselves say it."""
    lossy, lossless = drawn.get(b"VP8 ", b""), drawn.get(b"VP8L", b"")
    if bool(lossy) == bool(lossless):
        raise cut_off()
    if lossless:
        if len(lossless) < 5 or lossless[0] != _LOSSLESS_MARK:
            raise cut_off()
        (packed,) = struct.unpack_from("<I", lossless, 1)
        return 1 + (packed & 0x3FFF), 1 + (packed >> 14 & 0x3FFF)
    if len(lossy) < 10 or lossy[3:6] != _LOSSY_MARK:
        raise cut_off()
    width, height = struct.unpack_from("<HH", lossy, 6)
    return width & 0x3FFF, height & 0x3FFF


def _features(said: bytes, sides: tuple[int, int], how: int) -> bytes:
    """The header of an extended file, which says what comes: at most transparency, and how it is turned."""
    if len(said) < 10:
        raise cut_off()
    flags = (said[0] & _HAS_ALPHA) | (0 if how == UPRIGHT else _HAS_EXIF)
    return bytes((flags, 0, 0, 0)) + b"".join((side - 1).to_bytes(3, "little") for side in sides)


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack("<4sI", kind, len(body)) + body + b"\0" * (len(body) % 2)
