"""What cards beside the plots share: a foot that says what must be said, and text that is never cut."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.publish.faces import Face, Fitted, fit
from evenhand.publish.figures.frame import LEADING, Frame, foot_fits, frame, must_say
from evenhand.publish.names import Names
from evenhand.publish.style import Style
from evenhand.publish.svg import Point, Words

MOST_FOOT, MOST_FOOT_NARROW = 2, 3  # lines


def card_frame(
    headline: str, foot: Sequence[str], names: Names, style: Style, *, wanted: float = 0, more_foot: int = 0,
    more_wide: int = 0,
) -> Frame:  # fmt: skip
    """A card begun: the headline ("" for none), the `foot` with what names must say, conditions last.

    On narrow cards the foot may take `more_foot` lines more than is usual, on wide ones `more_wide`.
    """
    most = MOST_FOOT_NARROW + more_foot if style.narrow else MOST_FOOT + more_wide
    first, *more = foot or ("",)
    must = must_say(names, first, style, most_foot=most)
    feet = [[first, *must, *more[:n], *names.terms_told] for n in range(len(more), -1, -1)]
    whole = next((each for each in feet if foot_fits(each, style, most)), [first, *must])
    return frame(headline, whole, style=style, wanted=wanted, most_foot=most)


def whole(text: str, room: float, *, sizes: tuple[float, float], face: Face, lines: int) -> Fitted | None:
    """The text in at most so many lines, or None where it would be cut."""
    found = fit(text, room, sizes=sizes, face=face, lines=lines)
    return found if " ".join(found.lines) == text else None


def shortest(
    texts: Sequence[str], room: float, *, sizes: tuple[float, float], face: Face = Face.TEXT, lines: int = 1
) -> Fitted:
    """The first of these wordings that stands whole; the last is cut where none does."""
    found = (whole(text, room, sizes=sizes, face=face, lines=lines) for text in texts)
    return next((f for f in found if f), fit(texts[-1], room, sizes=sizes, face=face, lines=lines))


def high(text: Fitted) -> float:
    """How high these lines stand."""
    return len(text.lines) * text.size * LEADING


def set_lines(text: Fitted, at: Point, *, face: Face = Face.TEXT, ink: str = "ink") -> list[Words]:
    """Lines below each other, the top of the first at the place."""
    x, top = at
    return [
        Words(x=x, y=top + (i + 0.8) * text.size * LEADING, text=line, size=text.size, face=face, ink=ink)
        for i, line in enumerate(text.lines)
    ]
