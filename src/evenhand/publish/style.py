"""What a picture is made for: a card of a video, or a page. One layout serves both, in these measures."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from evenhand.publish.marks import Mark
from evenhand.publish.palette import Theme


class Medium(StrEnum):
    """What a card is shown on: a video, a video held upright, or a square in a row of pictures."""

    WIDE = "wide"
    TALL = "tall"
    SQUARE = "square"


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """The measures of a medium, in pixels.

    `height` None lets the picture grow with its rows. `say` holds the headline's largest size, the
    least at which it stands on one line, and the least at all; `text` the largest and the least size
    of all other text. `unit` scales marks, `post` and `hair` are line widths. `lines` is how many the
    headline may take, `narrow` says that words and plot stand below each other, not side by side.
    `accent` ("#rrggbb") and `mark` are whoever publishes' own, at the foot of a card.
    `theme` None leaves colours to the page.
    """

    theme: Theme | None
    width: float
    height: float | None
    margin: float
    say: tuple[float, float, float]
    text: tuple[float, float]
    unit: float
    post: float
    hair: float
    lines: int = 2
    narrow: bool = False
    accent: str = ""
    mark: Mark | None = None

    @property
    def roomy(self) -> bool:
        """Whether rows have room for intervals in words, and the picture may grow."""
        return self.height is None


def card(theme: Theme = Theme.LIGHT) -> Style:
    """A card of 1920 × 1080: nothing on it is set under 50 px."""
    return Style(
        theme=theme,
        width=1920,
        height=1080,
        margin=96,
        say=(82, 66, 58),
        text=(53, 50),
        unit=2.5,
        post=5,
        hair=2,
    )


def tall(theme: Theme = Theme.LIGHT) -> Style:
    """A card of 1080 × 1920, for who holds a phone upright: nothing on it is set under 42 px."""
    return Style(
        theme=theme,
        width=1080,
        height=1920,
        margin=72,
        say=(76, 60, 50),
        text=(46, 42),
        unit=2.3,
        post=5,
        hair=2,
        lines=5,
        narrow=True,
    )


def square(theme: Theme = Theme.LIGHT) -> Style:
    """A card of 1080 × 1080: nothing on it is set under 42 px."""
    return replace(tall(theme), height=1080, say=(66, 56, 46), text=(44, 42), lines=3)


CALLED = {Medium.WIDE: "wide", Medium.TALL: "upright", Medium.SQUARE: "square"}
"""What cards for a medium are called."""

CARDS = {Medium.WIDE: card, Medium.TALL: tall, Medium.SQUARE: square}


def for_medium(medium: Medium, theme: Theme = Theme.LIGHT) -> Style:
    """The measures of a card for this medium.

    >>> style = for_medium(Medium.TALL)
    >>> style.width, style.height, style.text[1]
    (1080, 1920, 42)
    """
    return CARDS[medium](theme)


def page(theme: Theme | None = None) -> Style:
    """A page: 1040 px wide and as high as its rows need, type at reading size."""
    return Style(
        theme=theme,
        width=1040,
        height=None,
        margin=8,
        say=(23, 20, 18),
        text=(15, 13),
        unit=1,
        post=1.5,
        hair=1,
    )


def phone(theme: Theme | None = None) -> Style:
    """The same for a phone: as wide as its text, words and plot below each other."""
    return replace(page(theme), width=350, margin=1, say=(19, 18, 16), text=(14, 13), lines=5, narrow=True)


def stamp(theme: Theme | None = None) -> Style:
    """A small picture in a list: as wide as a phone's text, type at the size of small print."""
    return Style(
        theme=theme,
        width=304,
        height=None,
        margin=1,
        say=(13, 13, 13),
        text=(13, 13),
        unit=0.8,
        post=1.4,
        hair=1,
    )
