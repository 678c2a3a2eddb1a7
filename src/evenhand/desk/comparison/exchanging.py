"""Which swaps would tell apart what changed together: by test, the setups to make and their time."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.desk.bench.outlooks import own_spreads
from evenhand.desk.bench.plan_needs import bench_of
from evenhand.desk.comparison.causing import Grounds
from evenhand.desk.latest import Latest
from evenhand.findings.cause import Cause, Standing
from evenhand.findings.factors import NOT_ON_RECORD, UNDESCRIBED, Factors, factors_of
from evenhand.findings.swaps import Effort, Swap, SwapPlan, swaps_that_separate
from evenhand.plans.spreads import expected_spreads
from evenhand.stats.designs import Change

LATELY = Latest(16)


@dataclass(frozen=True, slots=True, kw_only=True)
class Swaps:
    """The swaps that would separate what is one bundle in these tests.

    `wanted` are the changes to be told apart. `there` names, beside each setup to make, one that is on record
    already and lacks only its runs; "" where it has to be made.
    """

    tests: tuple[str, ...]
    wanted: tuple[Change, ...]
    plan: SwapPlan
    there: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Tests in which the same setups ran and the same changes are one bundle."""

    tests: tuple[str, ...]
    wanted: tuple[Change, ...]
    factors: Factors


def swaps_for(grounds: Grounds, found: Sequence[Cause]) -> tuple[Swaps, ...]:
    """For each sort of test in which parts changed together, the fewest swaps that separate them."""
    bundled = tuple(cause for cause in found if cause.standing is Standing.BUNDLED)
    key = ("swaps", grounds.said, tuple((c.test, c.a, c.b, c.changes) for c in bundled))
    return LATELY.of(key, lambda: tuple(_planned(place, grounds) for place in _places(grounds, bundled)))


def _places(grounds: Grounds, bundled: Sequence[Cause]) -> Iterator[_Place]:
    held: dict[tuple[object, ...], _Place] = {}
    for test in dict.fromkeys(cause.test for cause in bundled):
        factors = factors_in(grounds, test)
        groups = [cause.changes for cause in bundled if cause.test == test and not unwritten(cause)]
        wanted = tuple(c for group in groups for c in group if c.factor not in factors.said)
        key = (factors.setups, factors.design, wanted)
        tests = (*held[key].tests, test) if key in held else (test,)
        held[key] = _Place(tests=tests, wanted=wanted, factors=factors)
    yield from (place for place in held.values() if place.wanted)


def factors_in(grounds: Grounds, test: str) -> Factors:
    """The factors of the setups that have runs of a test."""
    ran = {c.setup for c in grounds.bench.cells if c.test == test and c.headline and c.observations}
    machines = [machine for machine in grounds.bench.machines if machine.key in ran]
    return factors_of(machines, test=test)


def unwritten(cause: Cause) -> tuple[str, ...]:
    """What of it is not on record of a side, by kind: it may be alike, and then no swap is needed."""
    return tuple(
        change.factor for change in cause.changes
        if change.factor == UNDESCRIBED or NOT_ON_RECORD in (change.low, change.high)
    )  # fmt: skip


def _planned(place: _Place, grounds: Grounds) -> Swaps:
    plan = swaps_that_separate(place.factors, place.wanted, effort=_effort(place.tests, grounds))
    there = tuple(_on_record(swap, grounds) for swap in plan.swaps or ())
    return Swaps(tests=place.tests, wanted=place.wanted, plan=plan, there=there)


def _effort(tests: Sequence[str], grounds: Grounds) -> Effort:
    """What the study's own runs let expect."""
    record = grounds.record
    spreads = expected_spreads(list(tests), own=own_spreads(record), past={})
    return Effort(
        scatters={test: spreads[test].scatter for test in tests},
        margin=math.log1p(record.study.margin),
        minutes=bench_of(record).minutes,
    )


def _on_record(swap: Swap, grounds: Grounds) -> str:
    """A setup with runs of other tests that has all of these levels."""
    everyone = factors_of(grounds.bench.machines)
    for key in everyone.setups:
        levels = everyone.by_itself(everyone.levels(key))
        if all(levels[name] == level for name, level in swap.levels.items() if name in levels):
            return key
    return ""
