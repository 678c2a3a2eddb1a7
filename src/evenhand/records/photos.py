"""Photos of builds: the picture as it was taken, and what is said of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoWords:
    """What is said of a photo: `alt` for who cannot see it, "" while nobody has described it yet.

    `taken_on` is the day on which it was taken, None where nobody said.
    """

    alt: str = ""
    caption: str = ""
    taken_on: date | None = None


NO_WORDS = PhotoWords()


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildPhoto:
    """A photo of a build: its bytes as they came by their SHA-256, and what stands of it now.

    `away` is a photo that was taken off the page; it stays on record. `id` is 0 until it is on record.
    """

    build: str
    digest: str
    name: str
    media: str
    by: str
    at: datetime
    words: PhotoWords = NO_WORDS
    away: bool = False
    id: int = 0
