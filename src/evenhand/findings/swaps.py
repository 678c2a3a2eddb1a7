"""The fewest further setups that would tell part effects apart, with their runs and minutes at the bench."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from evenhand.findings.factors import Factors
from evenhand.findings.outcomes import ALPHA
from evenhand.plans.laying import DEFAULT_MINUTES, Pace
from evenhand.plans.power import Scatter, runs_to_see
from evenhand.stats.contrasts import weights_of
from evenhand.stats.designs import Change, Design, Row
from evenhand.stats.separating import Rules, separate


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """A setup to make: `like` one on record, with some things exchanged; `levels` is all of it by name.

    Accidents that are one factor are told one by one, each with its own value.
    """

    like: str
    exchanged: tuple[Change, ...]
    levels: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What is to be seen, and what a run takes: the scatter of each test, its minutes, and the pace.

    `margin` is the smallest difference that matters, as a log.
    """

    scatters: Mapping[str, Scatter]
    margin: float
    minutes: Mapping[str, float] = field(default_factory=dict)
    pace: Pace = field(default_factory=Pace)


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """One test measured by itself: runs of every setup that takes part, and minutes for the new ones."""

    test: str
    runs: int
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapPlan:
    """The fewest setups with which each wanted change is known by itself; None where none were found.

    `runs`: by test, of every setup that takes part, old or new, so that an effect as large as the margin
    shows with power .8; None where 60 would not do. `minutes` at the bench for the new setups: runs, warm-up
    and boots, without the time with a screwdriver; None where runs are not known. `complete`: every smaller
    set was looked into. `held` is how the new setups must be measured: as those on record were, each accident
    with its own value. `quickest` is what one test alone would take, where several are asked for.
    """

    swaps: tuple[Swap, ...] | None
    runs: Mapping[str, int | None] = field(default_factory=dict)
    minutes: float | None = None
    complete: bool = True
    held: Mapping[str, str] = field(default_factory=dict)
    quickest: Alone | None = None


def swaps_that_separate(
    factors: Factors,
    wanted: Sequence[Change],
    *,
    effort: Effort,
    apart: Sequence[tuple[str, str]] = (),
) -> SwapPlan:
    """The smallest set of swaps for these changes. `apart`: pairs of part keys that do not go together.

    New setups are measured as most of those on record were (same driver, system, …). See `stats.separating`
    for the search and its limits. Runs from the noncentral t (`plans.power.runs_to_see`) with the weights
    that the widened design gives each wanted effect, at ALPHA over all wanted effects and tests.
    """
    design, under = factors.design, _held(factors)
    held, rules = factors.by_itself(under), Rules(held=under, forbidden=_forbidden(design, apart))
    found = separate(design, wanted, rules)
    if found.rows is None:
        return SwapPlan(swaps=None, complete=found.complete, held=held)
    widened = Design(factors=design.factors, rows=design.rows + found.rows)
    runs = _all_runs(widened, wanted, effort, together=len(effort.scatters))
    return SwapPlan(
        swaps=tuple(_swap(factors, row) for row in found.rows), runs=runs, held=held,
        minutes=_minutes(runs, setups=len(found.rows), effort=effort), complete=found.complete,
        quickest=_quickest(_all_runs(widened, wanted, effort, together=1), len(found.rows), effort),
    )  # fmt: skip


def _held(factors: Factors) -> dict[str, str]:
    """How most setups on record were measured, by accidental factor; the first of them where none leads."""
    columns = dict(zip(factors.design.factors, zip(*factors.design.rows, strict=True), strict=True))
    return {name: max(columns[name], key=columns[name].count) for name in factors.accidents}


def _forbidden(design: Design, apart: Sequence[tuple[str, str]]) -> frozenset[frozenset[tuple[str, str]]]:
    """Pairs of part keys as pairs of levels, in whichever factors they stand."""
    levels = [(factor, level) for factor, on in design.levels.items() for level in on]
    holding = {
        key: [level for level in levels if key in level[1].split(" + ")] for pair in apart for key in pair
    }
    return frozenset(frozenset({one, other}) for x, y in apart for one in holding[x] for other in holding[y])


def _swap(factors: Factors, row: Row) -> Swap:
    """The setup to make out of the nearest on record: another driver is sooner installed than a part."""
    design = factors.design

    def apart(other: Row) -> tuple[int, int]:
        unlike = [f for f, x, y in zip(design.factors, row, other, strict=True) if x != y]
        return sum(f not in factors.accidents for f in unlike), len(unlike)

    near = factors.setups[design.rows.index(min(design.rows, key=apart))]
    levels = factors.by_itself(dict(zip(design.factors, row, strict=True)))
    before = factors.by_itself(factors.levels(near))
    changed = [
        Change(factor=name, low=before[name], high=new) for name, new in levels.items() if before[name] != new
    ]
    return Swap(like=near, exchanged=tuple(changed), levels=levels)


def _all_runs(
    design: Design, wanted: Sequence[Change], effort: Effort, *, together: int
) -> dict[str, int | None]:
    """By test, runs of each setup for the hardest of the wanted effects; its error is sd·√(Σw²/n)."""
    hardest = max((float((weights_of(design, [change]) ** 2).sum()) for change in wanted), default=0.0)
    if hardest == 0.0:
        return dict.fromkeys(effort.scatters, 0)
    alpha, wider = ALPHA / (len(wanted) * together), math.sqrt(hardest / 2.0)
    return {
        test: runs_to_see(effort.margin, Scatter(sd=scatter.sd * wider, lent_df=scatter.lent_df), alpha=alpha)
        for test, scatter in effort.scatters.items()
    }


def _quickest(runs: Mapping[str, int | None], setups: int, effort: Effort) -> Alone | None:
    """The test that takes the fewest minutes by itself; None where there is one test only, or none shows."""
    alone = [
        Alone(test=test, runs=n, minutes=minutes)
        for test, n in runs.items()
        if n and (minutes := _minutes({test: n}, setups=setups, effort=effort)) is not None
    ]
    return min(alone, key=lambda each: each.minutes, default=None) if len(runs) > 1 else None


def _minutes(runs: Mapping[str, int | None], *, setups: int, effort: Effort) -> float | None:
    """One run of each test a boot, as `plans.laying` lays them out."""
    known = {test: n for test, n in runs.items() if n is not None}
    if len(known) < len(runs):
        return None
    pace = effort.pace
    each = sum(n * (effort.minutes.get(test, DEFAULT_MINUTES) + pace.warm_up) for test, n in known.items())
    return setups * (each + max(known.values(), default=0) * pace.reboot)
