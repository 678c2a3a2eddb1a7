"""Labels beside marks: each nearer to its own mark than to any other, or tied to it by a line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.publish.faces import Face, width
from evenhand.publish.style import Style
from evenhand.publish.svg import ASCENT, DESCENT, Box, Drawn, Pen, Point, Words, line

MARK = 9  # units: how far a mark reaches from its middle
NEAR = 13  # units: from the middle of a mark to its label
ALONE = 27  # units: a label without a line keeps this far from the middle of every other mark
APART = 0.2  # of the type size: how far two labels keep from each other
LEAD = 1.12  # of the type size: from line to line
FARTHER = (0.8, 1.7, 2.6)  # of the type size: how much farther off a label may stand that a line ties


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What is said of one mark, or once of several; `wordings` are lines, the fuller wording first."""

    places: tuple[Point, ...]
    wordings: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where the first line stands, how the lines are set, and the line that ties them to the mark."""

    x: float
    y: float
    anchor: str
    tie: tuple[Point, Point] | None = None


def labels(told: Sequence[Label], marks: Sequence[Point], box: Box, style: Style) -> list[Drawn]:
    """Each label at the first spot within `box` where it touches nothing; left out where there is none."""
    drawn: list[Drawn] = []
    taken: list[Box] = []
    for label in told:
        words, tie = _placed(label, marks, taken, box, style)
        taken += [_wider(each.box, APART * style.text[1]) for each in words]
        drawn += [*tie, *words]
    return drawn


def _placed(
    label: Label, marks: Sequence[Point], taken: Sequence[Box], box: Box, style: Style
) -> tuple[list[Words], list[Drawn]]:
    others = [place for place in marks if place not in label.places]
    own = [_around(place, MARK * style.unit) for place in label.places]
    for said in label.wordings:
        for spot in _spots(label, said, box, style):
            reach = (MARK if spot.tie else ALONE) * style.unit
            closed = [*own, *taken, *(_around(place, reach) for place in others)]
            words = _lines(said, spot, style)
            if all(w.box.inside(box) and not any(w.box.meets(each) for each in closed) for w in words):
                pen = Pen(ink="ink2", width=style.hair)
                return words, [line(*spot.tie, pen)] if spot.tie else []
    return [], []


def _around(place: Point, reach: float) -> Box:
    (x, y) = place
    return Box(left=x - reach, top=y - reach, right=x + reach, bottom=y + reach)


def _wider(box: Box, by: float) -> Box:
    return Box(left=box.left - by, top=box.top, right=box.right + by, bottom=box.bottom)


def _lines(said: tuple[str, ...], spot: Spot, style: Style) -> list[Words]:
    size = style.text[1]
    return [
        Words(x=spot.x, y=spot.y + i * LEAD * size, text=text, size=size, anchor=spot.anchor, halo="paper",
              face=_face(i))
        for i, text in enumerate(said)
    ]  # fmt: skip


def _face(row: int) -> Face:
    return Face.STRONG if row == 0 else Face.TEXT


def _spots(label: Label, said: tuple[str, ...], box: Box, style: Style) -> Iterator[Spot]:
    """Beside a single mark, below and above (from the edge of the box where near); then farther, tied."""
    size, near = style.text[1], NEAR * style.unit
    xs, ys = [x for x, _ in label.places], [y for _, y in label.places]
    middle, tall = (min(xs) + max(xs)) / 2, LEAD * size * (len(said) - 1)
    if len(xs) == 1:
        level = ys[0] + 0.35 * size - tall / 2
        yield Spot(x=middle + near, y=level, anchor="start")
        yield Spot(x=middle - near, y=level, anchor="end")
    wide = max(width(text, size, _face(i)) for i, text in enumerate(said))
    x, anchor = middle, "middle"
    if middle - wide / 2 < box.left:
        x, anchor = box.left, "start"
    elif middle + wide / 2 > box.right:
        x, anchor = box.right, "end"
    below, above = max(ys) + near + ASCENT * size, min(ys) - near - DESCENT * size - tall
    yield Spot(x=x, y=below, anchor=anchor)
    yield Spot(x=x, y=above, anchor=anchor)
    if len(xs) > 1:
        return
    for more in (step * size for step in FARTHER):
        down, up = (middle, ys[0] + near), (middle, ys[0] - near)
        yield Spot(x=x, y=below + more, anchor=anchor, tie=(down, (middle, ys[0] + near + more)))
        yield Spot(x=x, y=above - more, anchor=anchor, tie=(up, (middle, ys[0] - near - more)))
