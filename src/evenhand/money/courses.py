"""Paths of several machines held against each other, and whether that holds if they fetch less or more.

What a path costs falls in proportion as its parts fetch more, so that the ends of a range decide it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from evenhand.money.market import Ways
from evenhand.money.paths import Path

AS_ASSUMED = 100  # per cent of what is assumed that parts fetch
SWING = 20  # per cent less and more
WORSE = DEARER = 0.02  # shares: for less than that nobody changes parts once more


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A path from buying a machine on: all that is bought, all that is sold, and the index meanwhile.

    `start` is the machine it begins with; `indexes` are its index and that after each change. Amounts in
    whole minor units.
    """

    start: str
    path: Path
    bought_minor: int
    fetched_minor: int
    indexes: tuple[float, ...] = ()

    @property
    def net_minor(self) -> int:
        """What it costs in the end, at what parts are assumed to fetch."""
        return self.bought_minor - self.fetched_minor

    def hundredfold(self, fetches_percent: int) -> int:
        """A hundred times the net cost where parts fetch so many per cent of what is assumed: exact."""
        return 100 * self.bought_minor - fetches_percent * self.fetched_minor


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """Whether one course stays ahead of another: where all fetch less or more, and where each does by itself.

    `turns_at` is the share by which its own parts must fetch less and the other's more for their costs to be
    alike; None where no swing does that.
    """

    in_common: bool
    each: bool
    turns_at: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A month of a path with what is bought and what is sold in it, by key."""

    month: int
    bought: tuple[str, ...]
    sold: tuple[str, ...]


def steps_of(owned: Sequence[str], path: Path) -> Iterator[Step]:
    """What is done on a path, month by month, from the parts that are owned on."""
    now = tuple(owned)
    for change in path.changes:
        yield Step(
            month=change.month,
            bought=tuple(key for key in change.parts if key not in now),
            sold=tuple(key for key in now if key not in change.parts),
        )
        now = change.parts


def course_of(ways: Ways, path: Path, *, start: str, price_minor: int) -> Course:
    """A path with what is bought and sold on it, the machine itself at its price."""
    of, since = {ware.key: ware for ware in ways.wares}, dict.fromkeys(ways.owned, 0)
    bought, fetched = price_minor, 0
    for step in steps_of(ways.owned, path):
        fetched += sum(int(of[key].fetches[since.pop(key), step.month]) for key in step.sold)
        bought += sum(int(of[key].costs[step.month]) for key in step.bought)
        since |= dict.fromkeys(step.bought, step.month)
    fetched += sum(int(of[key].fetches[month, ways.months]) for key, month in since.items())
    machines = (ways.owned, *(change.parts for change in path.changes))
    return Course(
        start=start, path=path, bought_minor=bought, fetched_minor=fetched,
        indexes=tuple(math.exp(sum(of[key].score for key in parts)) for parts in machines),
    )  # fmt: skip


def beats(
    one: Course, other: Course, *, own: int = AS_ASSUMED, its: int = AS_ASSUMED, margin: float = 0.0
) -> bool:
    """Whether one costs no more, is no worse on the mean and in its worst month, and better in one of them.

    `own` and `its` are what the parts of either fetch, in per cent of what is assumed. Worst months that
    differ by no more than the `margin`, a share, count as alike.
    """
    costs, other_costs = one.hundredfold(own), other.hundredfold(its)
    least, other_least = one.path.least, other.path.least
    no_worse = (
        costs <= other_costs and one.path.mean >= other.path.mean and least >= other_least * (1 - margin)
    )
    better = costs < other_costs or one.path.mean > other.path.mean or least * (1 - margin) > other_least
    return no_worse and better


def simplest(courses: Iterable[Course]) -> tuple[Course, ...]:
    """Those of one machine to which no other one with fewer changes comes close in everything."""
    every = tuple(courses)
    return tuple(each for each in every if not any(_is_close(other, each) for other in every))


def _is_close(simple: Course, other: Course) -> bool:
    """Whether one with fewer changes is worse by a fiftieth at most, and dearer by a fiftieth of it all."""
    return (
        len(simple.path.changes) < len(other.path.changes)
        and simple.net_minor <= other.net_minor + DEARER * other.bought_minor
        and simple.path.mean >= other.path.mean * (1 - WORSE)
        and simple.path.least >= other.path.least * (1 - WORSE)
    )


def unbeaten(courses: Iterable[Course]) -> tuple[Course, ...]:
    """The courses that no other beats, the cheapest first."""
    every = tuple(courses)
    left = [each for each in every if not any(beats(other, each) for other in every)]
    return tuple(sorted(left, key=lambda each: (each.net_minor, -each.path.mean, each.start)))


def holds(one: Course, other: Course, *, swing: int = SWING, margin: float = 0.0) -> Hold:
    """Whether one beats the other all over a swing of what parts fetch, in per cent either way."""
    ends = (AS_ASSUMED - swing, AS_ASSUMED, AS_ASSUMED + swing)
    both = one.fetched_minor + other.fetched_minor
    lead = other.net_minor - one.net_minor
    return Hold(
        in_common=all(beats(one, other, own=end, its=end, margin=margin) for end in ends),
        each=all(beats(one, other, own=own, its=its, margin=margin) for own, its in product(ends, ends)),
        turns_at=lead / both if lead > 0 and both else None,
    )
