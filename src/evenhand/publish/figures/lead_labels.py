"""Words in a figure set across in per cent of its width: where they lie, and what is in their way there."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from evenhand.publish.faces import Face, width
from evenhand.publish.figures.lead_plot import Lead, Plot

NARROW, WIDE = (
    300.0,
    544.0,
)  # px that the figure has at least on a phone, and from where it shows all its words
TYPE, APART = 14.0, 7.0  # px: of the type, and between words
TALL, DEEP = 12.0, 4.0  # px that words reach above and below their baseline
NEARER = 3.0  # px by which words are nearer to their own mark than to another
CLEAR = 2.0  # px between words and what is drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A piece of the figure at one width, in pixels."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box, apart: float = 0.0) -> bool:
        """Whether the two come nearer than so many pixels."""
        across, down = self.gaps(other)
        return (across < apart and down < min(apart, CLEAR)) or (across <= 0 and down <= 0)

    def gaps(self, other: Box) -> tuple[float, float]:
        """How far apart the two are, across and downward; 0 or less where they overlap that way."""
        return (
            max(self.left, other.left) - min(self.right, other.right),
            max(self.top, other.top) - min(self.bottom, other.bottom),
        )

    def far(self, other: Box) -> float:
        """The distance between the two."""
        across, down = self.gaps(other)
        return float((max(across, 0.0) ** 2 + max(down, 0.0) ** 2) ** 0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words about a place: `said` in strong type, `more` behind it, `dx` pixels beside `x` per cent.

    Their baseline is at `y`.
    """

    x: float
    y: float
    said: str
    anchor: str
    more: str = ""
    dx: float = 0.0

    def box(self, wide: float) -> Box:
        """Where it lies in a figure so wide."""
        more = f" {self.more}" if self.more else ""
        long = width(self.said, TYPE, Face.STRONG) + width(more, TYPE, Face.TEXT)
        back = {"start": 0.0, "middle": long / 2, "end": long}[self.anchor]
        left = self.x / 100 * wide + self.dx - back
        return Box(left=left, right=left + long, top=self.y - TALL, bottom=self.y + DEEP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """What is drawn in a figure so wide: the level lines, marks, and the band of the lead.

    `drawn` holds the band's places across with its upper and its lower end there.
    """

    plot: Plot
    wide: float
    drawn: tuple[tuple[float, float, float], ...]
    marks: tuple[Box, ...] = ()

    @classmethod
    def of(cls, lead: Lead, plot: Plot, wide: float) -> Field:
        """The field of a lead, before any mark."""
        least, most = lead.spans()
        drawn = zip(
            (share * wide for share in lead.shares), map(plot.y, most), map(plot.y, least), strict=True
        )
        return cls(plot=plot, wide=wide, drawn=tuple(drawn))

    def band(self, left: float, right: float) -> tuple[float, float]:
        """Between which heights the lead and its interval lie from one place to another, in pixels."""
        first = max(bisect_left(self.drawn, left, key=_place) - 1, 0)
        inside = self.drawn[first : bisect_right(self.drawn, right, key=_place) + 1]
        return min(top for _, top, _ in inside), max(bottom for _, _, bottom in inside)

    def holds(self, box: Box) -> bool:
        """Whether words there lie within the figure, clear of everything that is drawn."""
        if box.left < 0 or box.right > self.wide:
            return False
        levels = (*self.plot.edges, self.plot.zero)
        if any(box.top - CLEAR < y < box.bottom + CLEAR for y in levels):
            return False
        top, bottom = self.band(box.left, box.right)
        off = box.bottom + CLEAR <= top or box.top - CLEAR >= bottom
        return off and not any(box.meets(mark, CLEAR) for mark in self.marks)


def _place(drawn: tuple[float, float, float]) -> float:
    return drawn[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Owner:
    """The mark that words belong to, and the other marks, to which they must be less near."""

    mark: Box
    others: tuple[Box, ...] = ()

    def owns(self, box: Box) -> bool:
        """Whether words there are plainly about the mark."""
        far = box.far(self.mark) + NEARER
        return all(box.far(other) > far for other in self.others)


def first_clear(
    tried: Iterable[Label], field: Field, others: Sequence[Box], owner: Owner | None = None
) -> Label | None:
    """The first of several places in which words touch neither what is drawn nor other words."""
    for label in tried:
        box = label.box(field.wide)
        free = field.holds(box) and not any(box.meets(other, APART) for other in others)
        if free and (owner is None or owner.owns(box)):
            return label
    return None
