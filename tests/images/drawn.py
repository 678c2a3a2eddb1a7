"""Small drawn pictures as a browser wrote them, and the same with what cameras note in them."""

from __future__ import annotations

import base64
import struct
import zlib

SIDES = (24, 16)
PLACE = b"54 deg 12' N at the tide mill"
DEVICE = b"Lanternfish Pocket 7"
NOTES = (PLACE, DEVICE)

JPEG = base64.b64decode(
    "/9j/2wBDAA0JCgsKCA0LCgsODg0PEyAVExISEyccHhcgLikxMC4pLSwzOko+MzZGNywtQFdBRkxOUlNSMj5aYVpQYEpRUk//"
    "2wBDAQ4ODhMREyYVFSZPNS01T09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT0//wAAR"
    "CAAQABgDASIAAhEBAxEB/8QAFgABAQEAAAAAAAAAAAAAAAAABQAE/8QAIRAAAQMEAQUAAAAAAAAAAAAAAQIDBAAFERJBBhMh"
    "YXH/xAAWAQEBAQAAAAAAAAAAAAAAAAAEAQL/xAAbEQACAgMBAAAAAAAAAAAAAAAAEQETAxIhcf/aAAwDAQACEQMRAD8A02Cx"
    "22ZZmJEmNu6vbZW6hnCiOD6obqiDGgXJtqI320FkKI2J85I5+UzYL5bYdmYjyZOjqNtk6KOMqJ4HuhuqJ0afcm3YjncQGQkn"
    "Ujzknn7WcVt87Nd8Jk0qhJ8BqqqqeFP/2Q=="
)
WEBP = base64.b64decode(
    "UklGRowAAABXRUJQVlA4WAoAAAAAAAAAFwAADwAAVlA4IG4AAABwBACdASoYABAAPrVInkmnJCKhMAgA4BaJbACxDMm6A3AF"
    "6gEpuFizs0FCYAD+iiDrKlOOGVwPcRLcd+SJ85v2U5XasbqGYjPmUr0mL1M/1M//KJrlaKJmF3RcDjy8wfYuNefAEiv/tK96"
    "hYAAAA=="
)
CLEAR_WEBP = base64.b64decode(
    "UklGRjoAAABXRUJQVlA4WAoAAAAQAAAAFwAADwAAVlA4TBwAAAAvF8ADEA8wRCMyZvMf8BASEB74v1a3IKL/kbwA"
)
"""With transparency, so in the extended form."""


def exif(turned: int = 1) -> bytes:
    """Camera notes: how it was held, the device, and a directory of the place."""
    entries = struct.pack(">HHIHH", 0x0112, 3, 1, turned, 0)
    entries += struct.pack(">HHII", 0x0110, 2, len(DEVICE), 50) + struct.pack(">HHII", 0x8825, 4, 1, 90)
    head = b"MM\x00*" + struct.pack(">IH", 8, 3) + entries + b"\0" * 4
    return head.ljust(50, b"\0") + DEVICE.ljust(40, b"\0") + PLACE


def segment(marker: int, body: bytes) -> bytes:
    """One segment of a JPEG."""
    return struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body


def noted_jpeg(turned: int = 1) -> bytes:
    """As a phone writes it: Exif, XMP, a profile, a remark, and a moving picture behind the end."""
    notes = segment(0xE1, b"Exif\0\0" + exif(turned))
    notes += segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0<x>" + PLACE + b"</x>")
    notes += segment(0xE2, b"ICC_PROFILE\0\1\1" + DEVICE) + segment(0xFE, DEVICE)
    return JPEG[:2] + notes + JPEG[2:] + b"ftypmp42" + PLACE


def chunk(kind: bytes, body: bytes) -> bytes:
    """One chunk of a PNG."""
    return struct.pack(">I4s", len(body), kind) + body + struct.pack(">I", zlib.crc32(kind + body))


def png(width: int = 24, height: int = 16, *, notes: bytes = b"", pixels: bytes | None = None) -> bytes:
    """A PNG of one grey; its sides are what it says, whatever pixels it has."""
    rows = zlib.compress(b"".join(b"\0" + b"\x7a" * 24 for _ in range(16))) if pixels is None else pixels
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + notes + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def noted_png(turned: int = 1) -> bytes:
    """With Exif, a time, words, a profile, and something behind the end."""
    notes = chunk(b"eXIf", exif(turned)) + chunk(b"tEXt", b"Comment\0" + PLACE) + chunk(b"tIME", b"\0" * 7)
    return png(notes=notes + chunk(b"iCCP", b"x\0\0" + zlib.compress(DEVICE) + DEVICE)) + PLACE


def riff(body: bytes) -> bytes:
    """A RIFF file."""
    return b"RIFF" + struct.pack("<I", len(body)) + body


def webp_chunk(kind: bytes, body: bytes) -> bytes:
    """One chunk of a WebP."""
    return kind + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)


def noted_webp(turned: int = 1) -> bytes:
    """In the extended form, with Exif, XMP and a profile, and something behind the end."""
    head = webp_chunk(b"VP8X", b"\x2c\0\0\0" + b"\x17\0\0\x0f\0\0")
    notes = webp_chunk(b"ICCP", DEVICE) + WEBP[12:] + webp_chunk(b"EXIF", exif(turned))
    return riff(b"WEBP" + head + notes + webp_chunk(b"XMP ", PLACE)) + PLACE
