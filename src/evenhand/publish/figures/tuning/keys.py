"""The marks that pictures of tuned parts have, with the words that say what they mean, over the plot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.tuning.plot import DOUBTFUL, placed
from evenhand.publish.names import Names
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Shape, Words, line, mark, rect

KEY_LINE = 1.45  # of the type size: a line of marks with their words
KEY_GAP = 1.1  # of the type size: between two marks with their words


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """A mark with the words that say what it means; the mark is drawn about 0, 0 and moved to its place."""

    sign: Sequence[Shape]
    text: str
    face: Face = Face.TEXT


def whose(setup: str, what: str, names: Names) -> Key:
    """Whose part a picture is of, and what of it, by the build's mark."""
    slot = names.slot(setup)
    sign = [mark(slot.mark, (0, 0), scale=1, ink=slot.ink)]
    return Key(sign=sign, text=f"{names.setup(setup)}: {what}", face=Face.STRONG)


def banded_sign() -> list[Shape]:
    """A line in its grey band, as keys have it."""
    band = rect(Box(left=-8, top=-4, right=8, bottom=4), fill="grey")
    ground = replace(band, place=dict(band.place) | {"fill-opacity": f"{DOUBTFUL:.2f}"})
    return [ground, line((-8, 0), (8, 0), Pen(ink="ink", width=2.0))]


def keyed(keys: Sequence[Key], body: Box, style: Style) -> tuple[list[Drawn], float]:
    """The marks with their words at the top of a body, and where the plot below them may begin."""
    room = body.right - body.left
    lines = _lines(keys, room, style)
    high = (len(lines) * KEY_LINE + 0.3) * style.text[1]
    return _drawn(lines, (body.left, body.top), room, style), body.top + high


def _lines(keys: Sequence[Key], room: float, style: Style) -> list[list[Key]]:
    """The marks with their words on as few lines as hold them."""
    lines: list[list[Key]] = []
    for key in keys:
        gap = KEY_GAP * style.text[1]  # the last on a line needs none
        if lines and sum(_key_wide(k, style) for k in [*lines[-1], key]) - gap <= room:
            lines[-1].append(key)
        else:
            lines.append([key])
    return lines


def key_fits(key: Key, room: float, style: Style) -> bool:
    """Whether a mark stands with all of its words on one line."""
    return 19 * style.unit + width(key.text, style.text[1], key.face) <= room


def _drawn(lines: Sequence[Sequence[Key]], at: Point, room: float, style: Style) -> list[Drawn]:
    """The marks with their words, below each other from a place on."""
    size, drawn = style.text[1], list[Drawn]()
    for n, some in enumerate(lines):
        x, y = at[0], at[1] + (n + 0.75) * KEY_LINE * size
        for key in some:
            drawn += placed(key.sign, (x + 7 * style.unit, y - 0.34 * size), 0.95 * style.unit)
            text = fit(key.text, room - 19 * style.unit, sizes=(size, size), face=key.face).lines[0]
            drawn.append(Words(x=x + 19 * style.unit, y=y, text=text, size=size, face=key.face))
            x += _key_wide(key, style)
    return drawn


def _key_wide(key: Key, style: Style) -> float:
    return 19 * style.unit + width(key.text, style.text[1], key.face) + KEY_GAP * style.text[1]
