"""A small vocabulary of shapes, and one way to write them as SVG.

Colours are tokens until the end: `render` leaves them to a page's style sheet as variables, or makes
them concrete for a card. Text keeps its size and face, so that it can be measured before it is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from html import escape
from zlib import crc32

from evenhand.publish.faces import Face, width
from evenhand.publish.palette import TOKENS, Theme, colour

FALLBACK = {"Asap": "'Evenhand Signs',sans-serif", "Faustina": "'Evenhand Signs',serif"}
DESCENT = 0.24  # of the type size: how far letters reach below and above the line they stand on
ASCENT = 0.76


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """One element. `paint` maps fill and stroke to colour tokens ("none" and "#rrggbb" stay as they are)."""

    tag: str
    place: Mapping[str, float | str]
    paint: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of text: `x` is where its `anchor` (start, middle, end) stands, `y` its baseline."""

    x: float
    y: float
    text: str
    size: float
    face: Face = Face.TEXT
    anchor: str = "start"
    ink: str = "ink"
    halo: str = ""

    @property
    def width(self) -> float:
        """How wide it stands."""
        return width(self.text, self.size, self.face)

    @property
    def box(self) -> Box:
        """The room it takes."""
        left = self.x - self.width * {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        top, bottom = self.y - ASCENT * self.size, self.y + DESCENT * self.size
        return Box(left=left, top=top, right=left + self.width, bottom=bottom)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle that something fills."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether the two overlap."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    def inside(self, other: Box) -> bool:
        """Whether this one lies within the other."""
        across = self.left >= other.left and self.right <= other.right
        return across and self.top >= other.top and self.bottom <= other.bottom


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """What a line is drawn with."""

    ink: str
    width: float
    dash: str = ""
    opacity: float = 1.0


Drawn = Shape | Words
Point = tuple[float, float]


def line(start: Point, end: Point, pen: Pen) -> Shape:
    """A straight line."""
    (x1, y1), (x2, y2) = start, end
    return Shape(
        tag="line", place={"x1": x1, "y1": y1, "x2": x2, "y2": y2} | _stroke(pen), paint={"stroke": pen.ink}
    )


def rect(box: Box, *, fill: str = "none", pen: Pen | None = None, rounded: float = 0.0) -> Shape:
    """A rectangle, filled or outlined or both."""
    place: dict[str, float | str] = {
        "x": box.left,
        "y": box.top,
        "width": max(box.right - box.left, 0.0),
        "height": max(box.bottom - box.top, 0.0),
    }
    place |= {"rx": rounded} if rounded else {}
    place |= _stroke(pen) if pen else {}
    return Shape(tag="rect", place=place, paint={"fill": fill} | ({"stroke": pen.ink} if pen else {}))


def path(d: str, pen: Pen) -> Shape:
    """An open path."""
    place: dict[str, float | str] = {"d": d, "stroke-linejoin": "round"}
    return Shape(tag="path", place=place | _stroke(pen), paint={"fill": "none", "stroke": pen.ink})


def mark(d: str, at: Point, *, scale: float, ink: str, hollow: bool = False) -> Shape:
    """A build's mark at a place: filled with a thin rim of the ground, or hollow in its own outline."""
    place: dict[str, float | str] = {
        "d": d,
        "transform": f"translate({_n(at[0])} {_n(at[1])}) scale({scale:.2f})",
    }
    if hollow:
        return Shape(tag="path", place=place | {"stroke-width": 2.2}, paint={"fill": "sheet", "stroke": ink})
    place |= {"stroke-width": 1.4, "paint-order": "stroke"}
    return Shape(tag="path", place=place, paint={"fill": ink, "stroke": "paper"})


def image(box: Box, uri: str) -> Shape:
    """A picture that lies in the file itself, as large as the box lets it be."""
    size = {"width": box.right - box.left, "height": box.bottom - box.top}
    return Shape(tag="image", place={"x": box.left, "y": box.top, **size, "href": uri})


def _stroke(pen: Pen) -> dict[str, float | str]:
    place: dict[str, float | str] = {"stroke-width": pen.width}
    place |= {"stroke-dasharray": pen.dash} if pen.dash else {}
    return place | ({"opacity": f"{pen.opacity:.2f}"} if pen.opacity < 1 else {})


def moved(words: Words, dx: float = 0.0, dy: float = 0.0) -> Words:
    """The same words elsewhere."""
    return replace(words, x=words.x + dx, y=words.y + dy)


def document(
    drawn: Iterable[Drawn], size: tuple[int, int], said: tuple[str, str], theme: Theme | None
) -> str:
    """A whole SVG. `said` is its title and description; without a theme colours stay variables.

    >>> word = Words(x=1, y=9, text="a < b", size=10)
    >>> document([word], (20, 10), ("T", "D"), Theme.LIGHT).partition("fill:")[2]
    '#14201e">a &lt; b</text></svg>'
    """
    body = "".join(render(shape, theme) for shape in drawn)
    title, description = said
    key = f"{crc32((title + description + body).encode()):08x}"
    wide, high = size
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" '
        f'role="img" aria-labelledby="t{key} d{key}"><title id="t{key}">{escape(title)}</title>'
        f'<desc id="d{key}">{escape(description)}</desc>{body}</svg>'
    )


def render(drawn: Drawn, theme: Theme | None) -> str:
    """One shape as SVG text."""
    if isinstance(drawn, Words):
        return _text(drawn, theme)
    place = "".join(f' {key}="{_value(value)}"' for key, value in drawn.place.items())
    paint = "".join(f' {key}="{_paint(ink, theme)}"' for key, ink in drawn.paint.items())
    return f"<{drawn.tag}{place}{paint}/>"


def _text(words: Words, theme: Theme | None) -> str:
    cut = words.face.value
    anchor = "" if words.anchor == "start" else f' text-anchor="{words.anchor}"'
    style = f"font-family:{cut.family},{FALLBACK[cut.family]};font-size:{_n(words.size)}px"
    style += f";font-weight:{cut.weight};fill:{_paint(words.ink, theme)}"
    if words.halo:
        style += f";stroke:{_paint(words.halo, theme)};stroke-width:{_n(words.size * 0.3)}px"
        style += ";paint-order:stroke;stroke-linejoin:round"
    return f'<text x="{_n(words.x)}" y="{_n(words.y)}"{anchor} style="{style}">{escape(words.text)}</text>'


def _paint(ink: str, theme: Theme | None) -> str:
    if ink == "none" or ink.startswith("#"):
        return ink
    if ink not in TOKENS:
        raise KeyError(ink)
    return f"var(--{ink})" if theme is None else colour(ink, theme)


def _value(value: float | str) -> str:
    return escape(value) if isinstance(value, str) else _n(value)


def _n(value: float) -> str:
    """A coordinate, to a twentieth of a pixel or so.

    >>> _n(12.0), _n(3.14159), _n(-0.01)
    ('12', '3.1', '0')
    """
    short = f"{value:.1f}".removesuffix(".0")
    return "0" if short == "-0" else short
