"""What every kind of picture has, and how one that cannot be used is refused."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.errors import BadRecord

MOST_BYTES = 25 * 2**20
MOST_PIXELS = 50_000_000
# A browser takes four bytes a pixel to draw one, so 50 million are 200 MB: more is not asked of a phone.
LONGEST_SIDE = 20_000

TAKEN = "JPEG, PNG or WebP"


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture as it may be shown: `data` holds what is needed to draw it, and how it was turned.

    `width` and `height` are in pixels as they lie in the file, before turning.
    """

    media: str
    width: int
    height: int
    data: bytes


def bad(found: str, todo: str = f"send a whole {TAKEN}") -> BadRecord:
    """The refusal of a picture."""
    return BadRecord(found, where="the photo", todo=todo)


def cut_off() -> BadRecord:
    """The refusal of a picture whose end is missing."""
    return bad("the picture is cut off or damaged", "send it again, whole")


def check_sides(width: int, height: int) -> None:
    """Raises BadRecord where a picture has no pixels, or more than a page should draw."""
    if not (width and height):
        raise cut_off()
    if width * height > MOST_PIXELS or max(width, height) > LONGEST_SIDE:
        raise bad(
            f"{width:,} × {height:,} pixels are too many",
            f"send at most {MOST_PIXELS // 10**6} million, {LONGEST_SIDE:,} a side",
        )
