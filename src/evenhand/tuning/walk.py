"""Which point is tried next: a walk along the edge, clock by clock, that never leaps towards failure.

Taken for true in it, and told where trials say otherwise: what holds at a point holds at a higher voltage and
at a lower clock as well. Only points beside what has held are tried: one voltage step lower at the same
clock, or one clock step higher. After a failure it goes up, by 1, 2, 4 … steps of voltage, within the limit;
and a higher clock is begun as many steps up as its edge is expected to lie. More voltage is no step towards a
failure, so that it may be several at once (`tuning.rising` tells them).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

Point: TypeAlias = tuple[int, int]
"""Steps of clock and of voltage above the lowest of a map."""

SPARE_STEPS = 1
"""The next clock is begun so many voltage steps above where its edge is expected."""


class Purpose(StrEnum):
    """Why a point is tried."""

    BEGIN = "whether stock holds under this load"
    LOWER = "one step lower at this clock"
    HIGHER_CLOCK = "the next clock, where its edge is expected"
    RAISE = "further up, since this clock failed below"
    DEEPER = "below the edge once more, to see how fast failures become more"
    FASTER = "one clock step higher, since the one below held"
    BEYOND = "beyond the edge once more, to see how fast failures become more"
    TELLING = "it tells most of how large a reserve has to be"
    CONFIRM = "the advised voltage itself, so that hours stand behind it"
    CONFIRM_CLOCK = "the advised clock itself, so that hours stand behind it"
    AT_LIMIT = "nothing failed up to the highest clock that is allowed, so that only hours tell more"


@dataclass(frozen=True, slots=True, kw_only=True)
class Map:
    """Clocks in MHz and voltages in mV that firmware offers, both ascending, within the maker's limits.

    `start` is stock. `deeper` is how many steps below each clock's highest failure are tried as well.
    """

    clocks_mhz: tuple[float, ...]
    voltages_mv: tuple[float, ...]
    start: Point
    slope: float = 0.5
    deeper: int = 2

    @property
    def points(self) -> int:
        """How many points there are."""
        return len(self.clocks_mhz) * len(self.voltages_mv)

    def expected_rise(self) -> int:
        """The voltage steps that one clock step takes, by `slope` in mV per MHz."""
        if len(self.clocks_mhz) < 2 or len(self.voltages_mv) < 2:
            return 0
        step = self.voltages_mv[1] - self.voltages_mv[0]
        return math.ceil(self.slope * (self.clocks_mhz[1] - self.clocks_mhz[0]) / step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """The point to try next, and why."""

    point: Point
    purpose: Purpose


def next_point(grid: Map, tried: Mapping[Point, bool]) -> Next | None:
    """The point to try next, given which points held (True) and which failed; None when the walk is done.

    The walk is done once every clock has its lowest voltage that holds, or fails up to the limit. It also
    ends where stock itself fails: then no advice on tuning helps.
    """
    if grid.start not in tried:
        return Next(point=grid.start, purpose=Purpose.BEGIN)
    if not tried[grid.start]:
        return None
    for clock in range(grid.start[0], len(grid.clocks_mhz)):
        found = _at_clock(grid, tried, clock)
        if found is not None:
            return found
        if lowest_held(tried, clock) is None:
            return None  # it fails up to the limit, and so would every higher clock
    return None


def lowest_held(tried: Mapping[Point, bool], clock: int) -> int | None:
    """The lowest voltage step that held at a clock, above all that failed there; None where none did."""
    failed = [v for (c, v), held in tried.items() if c == clock and not held]
    above = max(failed, default=-1)
    return min((v for (c, v), held in tried.items() if c == clock and held and v > above), default=None)


def _at_clock(grid: Map, tried: Mapping[Point, bool], clock: int) -> Next | None:
    """What is left to try at one clock."""
    here = {v: held for (c, v), held in tried.items() if c == clock}
    if not here:
        return Next(point=(clock, _beginning(grid, tried, clock)), purpose=Purpose.HIGHER_CLOCK)
    lowest = lowest_held(tried, clock)
    failed = max((v for v, held in here.items() if not held), default=None)
    top = len(grid.voltages_mv) - 1
    if lowest is None:
        assert failed is not None
        if failed == top:
            return None
        highest = max((v for v, held in here.items() if held), default=-1)
        rise = 2 ** (sum(v > highest for v in here) - 1)
        return Next(point=(clock, min(failed + rise, top)), purpose=Purpose.RAISE)
    if lowest > _floor(tried, clock) and lowest - 1 not in here:
        return Next(point=(clock, lowest - 1), purpose=Purpose.LOWER)
    return _deeper(grid, here, clock, failed)


def _deeper(grid: Map, here: Mapping[int, bool], clock: int, failed: int | None) -> Next | None:
    """Points below a clock's highest failure that are tried as well."""
    if failed is None:
        return None
    for step in range(1, grid.deeper + 1):
        if failed - step >= 0 and failed - step not in here:
            return Next(point=(clock, failed - step), purpose=Purpose.DEEPER)
    return None


def _floor(tried: Mapping[Point, bool], clock: int) -> int:
    """The lowest voltage step that may hold at a clock: one that failed at a lower clock fails here too."""
    failed = [v for (c, v), held in tried.items() if c < clock and not held]
    return max(failed, default=-1) + 1


def _beginning(grid: Map, tried: Mapping[Point, bool], clock: int) -> int:
    """Where a clock is begun: a spare step above where the clocks below it say that its edge is."""
    edges = [edge for c in range(clock) if (edge := lowest_held(tried, c)) is not None]
    rise = edges[-1] - edges[-2] if len(edges) > 1 else grid.expected_rise()
    return min(edges[-1] + max(rise, 0) + SPARE_STEPS, len(grid.voltages_mv) - 1)


def against_order(tried: Mapping[Point, bool]) -> tuple[tuple[Point, Point], ...]:
    """Pairs of a point that failed and one that held although it asks for more of the part."""
    failed = [point for point, held in tried.items() if not held]
    held = [point for point, ok in tried.items() if ok]
    return tuple((bad, good) for bad in sorted(failed) for good in sorted(held) if _asks_more(good, bad))


def _asks_more(a: Point, b: Point) -> bool:
    """Whether point `a` asks at least as much of the part as `b`."""
    return a != b and a[0] >= b[0] and a[1] <= b[1]


def edges_of(tried: Mapping[Point, bool], clocks: Iterable[int]) -> dict[int, int | None]:
    """For each clock the lowest voltage step that holds above all that failed at it or at a lower clock."""
    return {clock: _edge(tried, clock) for clock in clocks}


def _edge(tried: Mapping[Point, bool], clock: int) -> int | None:
    floor = max(_floor(tried, clock), *_failed_here(tried, clock))
    return min((v for (c, v), held in tried.items() if held and c == clock and v >= floor), default=None)


def _failed_here(tried: Mapping[Point, bool], clock: int) -> Sequence[int]:
    """The steps just above those that failed at a clock, and 0."""
    return [0, *(v + 1 for (c, v), held in tried.items() if c == clock and not held)]
