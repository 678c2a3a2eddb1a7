"""A JPEG segment by segment: its sides, and the same without notes.

ITU-T T.81: a marker is 0xFF and a byte; most are followed by their length in two bytes, itself included.
Between a scan's header and the next marker lie the pixels, in which 0xFF is followed by 0x00 or a restart.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator

from evenhand.images.picture import Picture, check_sides, cut_off
from evenhand.images.turning import UPRIGHT, only_turned, turned

MEDIA = "image/jpeg"
BEGINS = b"\xff\xd8\xff"

_SOI, _EOI, _SOS = b"\xff\xd8", 0xD9, 0xDA
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_DRAWN = frozenset(range(0xC0, 0xD0)) | {
    _SOS,
    0xDB,
    0xDD,
}  # frames, tables of Huffman and arithmetic, restarts
_EXIF, _ADOBE = b"Exif\x00\x00", b"Adobe"
_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
_FILLED = re.compile(rb"\xff+[^\x00\xd0-\xd7\xff]")
_ADOBE_BYTES = 14  # the marker that says how colours are coded has room for nothing else


def read_jpeg(data: bytes) -> Picture:
    """A JPEG without notes, thumbnails, further pictures and whatever hangs behind it. Raises BadRecord.

    Colour profiles go, too: cameras write themselves into them.
    """
    kept: list[bytes] = []
    sides, how, scans = None, UPRIGHT, 0
    for marker, piece, pixels in _segments(data):
        if marker in _FRAMES and sides is None:
            sides = _sides(piece)
            check_sides(*sides)
        if marker == 0xE1 and piece[4:10] == _EXIF:
            how = turned(piece[10:])
        scans += marker == _SOS
        if marker in _DRAWN or (marker == 0xEE and piece[4:9] == _ADOBE and len(piece) == _ADOBE_BYTES + 2):
            kept += (piece, pixels)
    if sides is None or not scans:
        raise cut_off()
    whole = b"".join((_SOI, _turning(how), *kept, bytes((0xFF, _EOI))))
    return Picture(media=MEDIA, width=sides[0], height=sides[1], data=whole)


def _segments(data: bytes) -> Iterator[tuple[int, bytes, bytes]]:
    """Each segment up to the picture's end: marker, the segment whole, the pixels behind a scan's header."""
    at = len(_SOI)
    while (marker := _marker(data, at))[0] != _EOI:
        kind, start = marker
        end = start + 2 + _length(data, start + 2)
        behind = end
        if kind == _SOS:
            after = _MARKER.search(data, end)
            behind = after.start() if after else len(data) + 1
        if behind > len(data):
            raise cut_off()
        yield kind, data[start:end], data[end:behind]
        at = behind


def _marker(data: bytes, at: int) -> tuple[int, int]:
    """The marker that stands here, and where it begins; it may be filled up in front with 0xFF."""
    found = _FILLED.match(data, at)
    if found is None:
        raise cut_off()
    return data[found.end() - 1], found.end() - 2


def _length(data: bytes, at: int) -> int:
    length = int.from_bytes(data[at : at + 2], "big")
    if length < 2:
        raise cut_off()
    return length


def _sides(frame: bytes) -> tuple[int, int]:
    if len(frame) < 9:
        raise cut_off()
    height, width = struct.unpack_from(">HH", frame, 5)
    return width, height


def _turning(how: int) -> bytes:
    if how == UPRIGHT:
        return b""
    notes = _EXIF + only_turned(how)
    return struct.pack(">BBH", 0xFF, 0xE1, len(notes) + 2) + notes
