"""What a picture is made for: a card of a video, or a page. One layout serves both, in these measures."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.publish.palette import Theme


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """The measures of a medium, in pixels.

    `height` None lets the picture grow with its rows. `say` holds the headline's largest size, the
    least at which it stands on one line, and the least at all; `text` the largest and the least size
    of all other text. `unit` scales marks, `post` and `hair` are line widths.
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
