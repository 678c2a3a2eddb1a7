"""A PNG chunk by chunk: its sides, and the same without notes.

W3C Portable Network Graphics, third edition: eight bytes, then chunks of length, type, data and CRC-32.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator

from evenhand.images.picture import Picture, check_sides, cut_off
from evenhand.images.turning import UPRIGHT, only_turned, turned

MEDIA = "image/png"
BEGINS = b"\x89PNG\r\n\x1a\n"

_DRAWN = frozenset((b"IHDR", b"PLTE", b"IDAT", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"cICP", b"sBIT"))
_HEAD = struct.Struct(">I4s")


def read_png(data: bytes) -> Picture:
    """A PNG without notes, times, profiles, moves and whatever hangs behind it. Raises BadRecord."""
    sides, how, kept, pixels = None, UPRIGHT, [], 0
    for kind, body in _chunks(data):
        if sides is None:
            if kind != b"IHDR" or len(body) != 13:
                raise cut_off()
            sides = struct.unpack_from(">II", body)
            check_sides(*sides)
        if kind == b"eXIf":
            how = turned(body)
        pixels += len(body) if kind == b"IDAT" else 0
        if kind in _DRAWN:
            kept.append(_chunk(kind, body))
    if sides is None or not pixels:
        raise cut_off()
    notes = [] if how == UPRIGHT else [_chunk(b"eXIf", only_turned(how))]
    whole = b"".join((BEGINS, kept[0], *notes, *kept[1:], _chunk(b"IEND", b"")))
    return Picture(media=MEDIA, width=sides[0], height=sides[1], data=whole)


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Each chunk before the last. Raises BadRecord where one is damaged or the last never comes."""
    at = len(BEGINS)
    while True:
        if at + 12 > len(data):
            raise cut_off()
        length, kind = _HEAD.unpack_from(data, at)
        end = at + 8 + length
        if end + 4 > len(data) or zlib.crc32(data[at + 4 : end]) != int.from_bytes(
            data[end : end + 4], "big"
        ):
            raise cut_off()
        if kind == b"IEND":
            return
        yield kind, data[at + 8 : end]
        at = end + 4


def _chunk(kind: bytes, body: bytes) -> bytes:
    return _HEAD.pack(len(body), kind) + body + zlib.crc32(kind + body).to_bytes(4, "big")
