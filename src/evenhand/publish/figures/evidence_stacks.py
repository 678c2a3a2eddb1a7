"""Marks of one row that would hide each other stand above and below each other, smaller where they must."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

REACH = 7.5  # units: from a mark's middle to its edge
LEVELS = (0, -1, 1)  # on the row's middle, above it, below it; more would be too small to see
HIDES = 0.8  # of a mark's width: nearer than this, one hides too much of the other
FILLED = 0.95  # of the row's height: what a stack may take


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """For each mark how far it stands from the row's middle, in pixels, and the size of all of them."""

    offsets: tuple[float, ...]
    scale: float

    @property
    def stacked(self) -> bool:
        """Whether any mark left the middle."""
        return any(self.offsets)


def stack(places: Sequence[float], *, unit: float, pitch: float, closed: Sequence[float] = ()) -> Stack:
    """Marks at these places of a row `pitch` high; `closed` are places on its middle that are taken.

    >>> stack([10.0, 10.0, 80.0], unit=1.0, pitch=45.0)
    Stack(offsets=(0.0, -14.25, 0.0), scale=0.95)
    >>> stack([10.0, 40.0], unit=1.0, pitch=45.0).stacked
    False
    """
    near = HIDES * 2 * REACH * unit
    levels, taken = [0] * len(places), [(0, x) for x in closed]
    for i in sorted(range(len(places)), key=lambda i: places[i]):
        free = (
            each for each in LEVELS if not any(on == each and abs(x - places[i]) < near for on, x in taken)
        )
        levels[i] = next(free, LEVELS[0])
        taken.append((levels[i], places[i]))
    if not any(levels):
        return Stack(offsets=(0.0,) * len(places), scale=unit)
    scale = min(unit, FILLED * pitch / (len(LEVELS) * 2 * REACH))
    return Stack(offsets=tuple(level * 2 * REACH * scale for level in levels), scale=scale)
