"""How a camera was held, out of its Exif notes and into notes that say nothing else.

Exif is a TIFF directory: CIPA DC-008; orientation is tag 0x0112, from 1 (upright) to 8.
"""

from __future__ import annotations

import struct

UPRIGHT = 1
_ORIENTATION, _SHORT = 0x0112, 3


def turned(exif: bytes) -> int:
    """How a picture is to be turned, from its Exif notes; upright where they say nothing that can be read.

    >>> turned(only_turned(6)), turned(b"no notes at all")
    (6, 1)
    """
    order = {b"II*\x00": "<", b"MM\x00*": ">"}.get(exif[:4])
    if order is None:
        return UPRIGHT
    try:
        (at,) = struct.unpack_from(f"{order}I", exif, 4)
        (entries,) = struct.unpack_from(f"{order}H", exif, at)
        for entry in range(min(entries, 1000)):
            tag, kind, many, value = struct.unpack_from(f"{order}HHIH", exif, at + 2 + 12 * entry)
            if (tag, kind, many) == (_ORIENTATION, _SHORT, 1) and value in range(1, 9):
                return int(value)
    except struct.error:
        pass
    return UPRIGHT


def only_turned(how: int) -> bytes:
    """Exif notes that say how a picture is turned and nothing else."""
    head = struct.pack(">2sHIH", b"MM", 42, 8, 1)
    return head + struct.pack(">HHIHHI", _ORIENTATION, _SHORT, 1, how, 0, 0)
