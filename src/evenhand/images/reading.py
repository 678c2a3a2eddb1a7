"""Any bytes into a picture that may be shown, or a refusal in words."""

from __future__ import annotations

from evenhand.images.jpeg import BEGINS as JPEG_BEGINS
from evenhand.images.jpeg import read_jpeg
from evenhand.images.picture import MOST_BYTES, TAKEN, Picture, bad
from evenhand.images.png import BEGINS as PNG_BEGINS
from evenhand.images.png import read_png
from evenhand.images.webp import read_webp

ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp"}


def read_picture(data: bytes) -> Picture:
    r"""The picture that bytes hold, by how they begin, whatever they are called.

    It is given without place, time, device, thumbnail, words and colour profile; reading it again changes
    nothing more. No pixel is unpacked: a picture that is too large is refused by what it says of its sides.
    Raises BadRecord.

    >>> read_picture(b"<svg onload=...")
    Traceback (most recent call last):
    evenhand.errors.BadRecord: the photo: this is no picture that browsers show; send a JPEG, PNG or WebP
    """
    if not data:
        raise bad("the file is empty")
    if len(data) > MOST_BYTES:
        raise bad(
            f"the picture is too large: {len(data) / 2**20:.0f} MB",
            f"send a {TAKEN} of at most {MOST_BYTES // 2**20} MB",
        )
    if data.startswith(JPEG_BEGINS):
        return read_jpeg(data)
    if data.startswith(PNG_BEGINS):
        return read_png(data)
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return read_webp(data)
    raise bad("this is no picture that browsers show", f"send a {TAKEN}")
