"""What plots of a tuned part share: areas, a limit, values below, names at the right."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.axes import Axes, held
from evenhand.publish.figures.card_frame import shortest
from evenhand.publish.figures.frame import centred, headline_fits
from evenhand.publish.numbers import number, with_unit
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Shape, Words, line, path

NAME_HIGH = 2.36  # of the type size: a name with its numbers below
ONE_LINE = 1.35  # of the type size: a name beside its numbers
NEAR_LIMIT = 0.6  # of what is shown: a limit farther above than this is told at the top, not drawn to scale
DOUBTFUL = 0.26  # how strongly grey covers where something may lie
CLOSEST = 0.5  # of a mark's size: marks are never drawn smaller than this


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """What stands at the right of a plot beside a place: a name, and the first wording below that fits."""

    at: Point
    name: str
    under: tuple[str, ...]


def heading(wordings: Sequence[str], style: Style) -> str:
    """The first of these sentences that stands whole over a picture; the last where none does."""
    return next((said for said in wordings if headline_fits(said, style)), wordings[-1])


def area(upper: Sequence[Point], lower: Sequence[Point], *, fill: str, opacity: float = 1.0) -> Shape:
    """What lies between two lines, each from left to right."""
    corners = [*upper, *reversed(lower)]
    d = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in corners) + "Z"
    place: dict[str, float | str] = {"d": d}
    return Shape(
        tag="path",
        place=place | ({"fill-opacity": f"{opacity:.2f}"} if opacity < 1 else {}),
        paint={"fill": fill},
    )


def way(points: Iterable[Point], pen: Pen) -> Shape:
    """A line through points."""
    return path("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points), pen)


def placed(sign: Sequence[Shape], at: Point, scale: float) -> list[Shape]:
    """A sign that is drawn about 0, 0, at a place."""
    moved = f"translate({at[0]:.1f} {at[1]:.1f}) scale({scale:.3f})"
    return [replace(shape, place=dict(shape.place) | {"transform": moved}) for shape in sign]


def shown_limit(
    most: float | None, low: float, high: float, *, near: float = NEAR_LIMIT
) -> float | None:  # fmt: skip
    """A limit where it is near enough to what is shown from `low` to `high` to be drawn to scale."""
    if most is None or most > high + near * (high - low):
        return None
    return most


def limit_line(most: float | None, said: Sequence[str], axes: Axes, busy: Sequence[Point]) -> list[Drawn]:
    """A maker's limit with its words where they cover least of what is `busy`.

    One beyond the picture, or none, is told over its upper edge. `said` are wordings, the fullest first.
    """
    box, style, size = axes.box, axes.style, axes.style.text[1]
    text = shortest(said, box.right - box.left, sizes=(size, size), face=Face.STRONG).lines[0]
    words = Words(x=box.left, y=box.top - 0.5 * size, text=text, size=size, face=Face.STRONG, halo="paper")
    if most is None or not axes.low <= most <= axes.high:
        return [words]
    dash = Pen(ink="ink", width=style.post, dash=f"{9 * style.unit:g} {4 * style.unit:g}")
    return level_line(most, words, axes, busy, dash)


def level_line(at: float, words: Words, axes: Axes, busy: Sequence[Point], pen: Pen) -> list[Drawn]:
    """A line across at a value, with its words over or under it where they cover least of what is `busy`."""
    box, y = axes.box, axes.y(at)
    inner = 0.3 * words.size
    ends = (box.left + inner, box.right - inner - words.width, (box.left + box.right - words.width) / 2)
    tries = [replace(words, x=x, y=y + dy * words.size) for dy in (-0.35, 1.0) for x in ends]
    inside = [one for one in tries if one.box.top >= box.top and one.box.bottom <= box.bottom] or tries
    best = min(inside, key=lambda one: _covered(one.box, busy, inner))
    return [line((box.left, y), (box.right, y), pen), best]


def _covered(box: Box, busy: Sequence[Point], near: float) -> int:
    return sum(_over(box, place, near) for place in busy)


def _over(box: Box, at: Point, near: float) -> bool:
    return box.left - near <= at[0] <= box.right + near and box.top - near <= at[1] <= box.bottom + near


def names_drawn(names: Sequence[Name], plot: Box, right: float, style: Style) -> list[Drawn]:
    """Names at the right of a plot, each as near to its place as the others let it stand.

    Where the plot is too low for all of them, those stand on one line that fit it.
    """
    size, left = style.text[1], plot.right + 0.9 * style.text[1]
    ordered, room = sorted(names, key=lambda name: name.at[1]), right - left
    told, high = list[tuple[str, str] | None](), [NAME_HIGH * size] * len(ordered)
    for n, name in enumerate(ordered):
        low = sum(high) > plot.bottom - plot.top + 1.7 * size
        told.append(_on_one_line(name, room, size) if low else None)
        high[n] = NAME_HIGH * size if told[n] is None else ONE_LINE * size
    drawn: list[Drawn] = []
    top = plot.top - 0.4 * size
    for n, (name, one) in enumerate(zip(ordered, told, strict=True)):
        half, latest = high[n] / 2, plot.bottom + 1.4 * size - sum(high[n:])
        y = min(max(name.at[1], top + half), max(latest + half, top + half))
        drawn.append(line(name.at, (left - 0.25 * size, y), Pen(ink="post", width=style.hair)))
        drawn += _name(name, (left, y), room, size) if one is None else _beside(one, (left, y), size)
        top = y + half
    return drawn


def _on_one_line(name: Name, room: float, size: float) -> tuple[str, str] | None:
    """A name and the first wording that stand beside each other; None where none does."""
    free = room - width(f"{name.name} ", size, Face.STRONG)
    return next(((name.name, under) for under in name.under if width(under, size) <= free), None)


def _beside(said: tuple[str, str], at: Point, size: float) -> list[Drawn]:
    y, after = centred(at[1], size), width(f"{said[0]} ", size, Face.STRONG)
    return [
        Words(x=at[0], y=y, text=said[0], size=size, face=Face.STRONG),
        Words(x=at[0] + after, y=y, text=said[1], size=size, ink="ink2"),
    ]


def _name(name: Name, at: Point, room: float, size: float) -> list[Drawn]:
    first, sizes = at[1] - 0.59 * size, (size, size)
    said = fit(name.name, room, sizes=sizes, face=Face.STRONG).lines[0]
    under = shortest(name.under, room, sizes=sizes).lines[0]
    return [
        Words(x=at[0], y=centred(first, size), text=said, size=size, face=Face.STRONG),
        Words(x=at[0], y=centred(first + 1.12 * size, size), text=under, size=size, ink="ink2"),
    ]


def values_below(
    values: Sequence[float], place: Callable[[float], float], unit: str, axes: Axes, room: Box, *,
    signed: bool = False,
) -> Iterator[Drawn]:  # fmt: skip
    """Values that run across, ascending, below the ground line where there is room, the outermost first.

    Their words stay within the width of `room`.
    """
    box, size, taken = axes.box, axes.style.text[1], list[Box]()
    pen = Pen(ink="post", width=axes.style.hair)
    for value in dict.fromkeys([*values[-1:], *values[:1], *values]):
        x = place(value)
        yield line((x, box.bottom), (x, box.bottom + 4 * axes.style.unit), pen)
        text = number(value, 0 if float(value).is_integer() else 1, signed=signed)
        text = with_unit(text, unit) if value == values[-1] else text
        at = Words(x=x, y=box.bottom + 1.15 * size, text=text, size=size, anchor="middle", ink="ink2")
        at = held(at, room)
        if all(at.box.left > t.right + 0.4 * size or at.box.right < t.left - 0.4 * size for t in taken):
            yield at
            taken.append(at.box)


def stretches(known: Sequence[bool]) -> list[tuple[int, int]]:
    """From where to where something is known without a gap: first and last places.

    >>> stretches([True, True, False, True])
    [(0, 1), (3, 3)]
    """
    found, at = [], 0
    for is_known, run in groupby(known):
        end = at + len(list(run))
        if is_known:
            found.append((at, end - 1))
        at = end
    return found
