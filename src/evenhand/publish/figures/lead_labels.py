"""Words beside places of a figure set across in per cent of its width: whether two of them touch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.publish.faces import Face, width

NARROW, WIDE = 280.0, 560.0  # px that the figure has at least on a phone, and where it shows all its words
TYPE, LINE, APART = 15.0, 16.0, 8.0  # px: type of the page at most, from line to line, and between words
STEP = 4  # px between the heights that are tried
TALL, DEEP = 13.0, 5.0  # px that words reach above and below their baseline


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words about a place, `dx` pixels beside `x` per cent, their baseline at `y`.

    `small` are those that a narrow figure leaves out.
    """

    x: float
    y: float
    said: str
    anchor: str
    dx: float = 0.0
    small: bool = False

    def touches(self, other: Label) -> bool:
        """Whether the two come within a few pixels, in a narrow figure or one as wide as beside another."""
        near = abs(self.y - other.y) < TYPE + 3
        narrow = [] if self.small or other.small else [NARROW]
        return near and any(self._meets(other, wide) for wide in (*narrow, WIDE))

    def _meets(self, other: Label, wide: float) -> bool:
        (a, b), (c, d) = self._ends(wide), other._ends(wide)
        return a < d + APART and c < b + APART

    def _ends(self, wide: float) -> tuple[float, float]:
        long = width(self.said, TYPE, Face.STRONG)
        back = {"start": 0.0, "middle": long / 2, "end": long}[self.anchor]
        left = self.x / 100 * wide + self.dx - back
        return left, left + long


def free_height(
    label: Label, others: Sequence[Label], *, between: tuple[float, float], lines: int = 1,
    drawn: Sequence[float] = (),
) -> float:  # fmt: skip
    """The height nearest to its own at which no line of the label touches another; its own where none is.

    Nor is one struck through by a level line `drawn` at such a height: before a number that reads as a minus.
    The second line of words is one that a narrow figure leaves out.
    """
    tried = (between[0] + STEP * i for i in range(int((between[1] - between[0]) // STEP)))
    for y in sorted(tried, key=lambda y: abs(y - label.y)):
        placed = [replace(label, y=y + LINE * i, small=i > 0) for i in range(lines)]
        struck = any(line.y - TALL < height < line.y + DEEP for line in placed for height in drawn)
        if not struck and not any(line.touches(other) for line in placed for other in others):
            return y
    return label.y
