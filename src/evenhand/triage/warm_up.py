"""Warm-up over runs: whether first runs differ from later ones, seen over all tests of a study at once."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from evenhand.records.tests import Direction
from evenhand.stats.bounded import pooled_effect
from evenhand.stats.special_functions import special
from evenhand.stats.spread import moderate
from evenhand.triage.limits.levels import WarmUpLimits
from evenhand.triage.wording import chance, count, share

Floats = npt.NDArray[np.float64]

KIND = "warm-up"
FIRST_RUN, FIRST_OF_BOOT, FIRST_BOOT, TREND = "first run", "first run of each boot", "first boot", "trend"


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """One run's headline with its boot and its place in the order of the day, where on record."""

    value: float
    boot: str | None = None
    order: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedCell:
    """The runs of one test on one setup that count, in the order they were made if that is not on record."""

    test: str
    setup: str
    direction: Direction
    runs: tuple[Timed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyNote:
    """Something found over the whole study: told, never held.

    `kind` is a stable key; `title`, `evidence` and `todo` are plain words; `numbers` are those of the
    sentence by name, unit in the name; `cells` are the (test, setup) it was seen in.
    """

    kind: str
    title: str
    evidence: str
    todo: str
    numbers: dict[str, float] = field(default_factory=dict)
    cells: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Contrast:
    """What one cell says to one question: the effect in logs (positive: better early on) and its variance.

    The variance is `variance` (of one run, on `df`) × `scale`.
    """

    cell: tuple[str, str]
    effect: float
    scale: float
    variance: float
    df: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """All cells' answers to one question, in logs: effect, interval, two-sided p, and who answered."""

    question: str
    effect: float
    low: float
    high: float
    p: float
    contrasts: tuple[Contrast, ...]

    @property
    def agreeing(self) -> int:
        """How many cells lie on the side of the whole."""
        return sum(c.effect * self.effect > 0 for c in self.contrasts)


def warm_up(cells: Iterable[TimedCell], limits: WarmUpLimits | None = None) -> StudyNote | None:
    """Whether first runs stand apart from later ones, or runs drift, pooled over all cells; None where not.

    `limits` are the usual ones if left out.

    Each cell gives the contrast of its first run with the mean of the later ones, and the slope from run to
    run; where boots hold several runs of a cell, within each boot. The spread of single runs comes from the
    later runs, or from about the slope; it is pooled over the setups of a test and moderated over tests
    (`stats.spread`; Smyth 2004). Cells are pooled with bounded influence (`stats.bounded`). Where every run
    has a boot of its own, first runs share their boot's error: then boots are compared (`first_boots`), which
    finds far less. Two runs a cell say something only where a test was run on several setups.

    >>> rows = [(101, 100, 102), (50, 50.2, 49.9), (80, 80.5, 80.2), (30, 30.1, 30.2)]
    >>> cold = [TimedCell(test=f"t{i}", setup="a", direction=Direction.HIGHER,
    ...     runs=tuple(Timed(value=v, order=k) for k, v in enumerate((0.95 * first, *later))))
    ...     for i, (first, *later) in enumerate(rows)]
    >>> note = warm_up(cold)
    >>> note is not None and note.title
    'First runs are slower'
    """
    known = [cell for cell in map(_ordered, cells) if len(cell.runs) > 1]
    told = limits or WarmUpLimits()
    if known and all(_boot_each(cell) for cell in known):
        answers = [first_boots(known, told)]
    else:
        answers = [first_runs(known, told), drift(known, told)]
    found = [a for a in answers if a is not None and _fires(a, len(answers), told)]
    return _note(min(found, key=lambda a: a.p)) if found else None


def _ordered(cell: TimedCell) -> TimedCell:
    """The cell's runs that have a logarithm, by their order where all have one."""
    runs = [r for r in cell.runs if math.isfinite(r.value) and r.value > 0]
    orders = [r.order for r in runs if r.order is not None]
    if len(orders) == len(runs):
        runs = [r for _, r in sorted(zip(orders, runs, strict=True), key=lambda pair: pair[0])]
    return TimedCell(test=cell.test, setup=cell.setup, direction=cell.direction, runs=tuple(runs))


def _boot_each(cell: TimedCell) -> bool:
    """Whether every run has a boot of its own, on record."""
    boots = [r.boot for r in cell.runs if r.boot is not None]
    return len(boots) == len(cell.runs) == len(set(boots))


def _logs(cell: TimedCell, runs: Sequence[Timed]) -> Floats:
    """Logs that rise as the machine does better."""
    sign = 1.0 if cell.direction is Direction.HIGHER else -1.0
    return sign * np.log([r.value for r in runs])


def _sessions(cell: TimedCell) -> list[Floats]:
    """The cell's runs in stretches: its boots where some hold several, else all of them as one."""
    boots: defaultdict[str | None, list[Timed]] = defaultdict(list)
    for run in cell.runs:
        boots[run.boot].append(run)
    if None in boots or max(map(len, boots.values())) < 2:
        return [_logs(cell, cell.runs)]
    return [_logs(cell, runs) for runs in boots.values()]


def first_runs(cells: Sequence[TimedCell], limits: WarmUpLimits) -> Answer | None:
    """First run against the mean of the later ones, within each session."""
    several = any(len(_sessions(cell)) > 1 for cell in cells)
    question = FIRST_OF_BOOT if several else FIRST_RUN
    return _pool([c for c in map(_first, cells) if c], question, limits.level)


def _first(cell: TimedCell) -> Contrast | None:
    sessions = [s for s in _sessions(cell) if s.size > 1]
    if not sessions:
        return None
    weights = np.array([1 / (1 + 1 / (s.size - 1)) for s in sessions])
    gaps = np.array([s[0] - s[1:].mean() for s in sessions])
    squares = sum(float(np.var(s[1:])) * (s.size - 1) for s in sessions)
    squares += float(weights @ (gaps - np.average(gaps, weights=weights)) ** 2)
    return _contrast(cell, gaps, weights, squares, sum(s.size - 2 for s in sessions) + len(sessions) - 1)


def drift(cells: Sequence[TimedCell], limits: WarmUpLimits) -> Answer | None:
    """The slope from run to run, within each session; positive where runs get worse."""
    return _pool([c for c in map(_slope, cells) if c], TREND, limits.level)


def _slope(cell: TimedCell) -> Contrast | None:
    sessions = [s for s in _sessions(cell) if s.size > 2]
    if not sessions:
        return None
    places = [np.arange(s.size) - (s.size - 1) / 2 for s in sessions]
    weights = np.array([float(x @ x) for x in places])
    slopes = np.array([float(x @ s) for x, s in zip(places, sessions, strict=True)]) / weights
    squares = sum(
        float(((s - s.mean() - b * x) ** 2).sum()) for b, x, s in zip(slopes, places, sessions, strict=True)
    )
    return _contrast(cell, -slopes, weights, squares, sum(s.size - 2 for s in sessions))


def _contrast(cell: TimedCell, effects: Floats, weights: Floats, squares: float, df: int) -> Contrast:
    return Contrast(
        cell=(cell.test, cell.setup),
        effect=float(weights @ effects / weights.sum()),
        scale=1 / float(weights.sum()),
        variance=squares / df if df else 0.0,
        df=float(df),
    )


_LEAST_VARIANCE = 1e-7  # 0.03 %: scores that repeat to the last digit do not outweigh a study


def _pool(contrasts: Sequence[Contrast], question: str, level: float) -> Answer | None:
    """The common effect of the contrasts; None where nothing is known of the spread of runs."""
    spreads = _spread_by_test(contrasts)
    kept = [c for c in contrasts if spreads[c.cell[0]][1] > 0]
    if not kept:
        return None
    variances, dfs = np.array([spreads[c.cell[0]] for c in kept]).T
    errors = np.sqrt(np.maximum(variances, _LEAST_VARIANCE) * [c.scale for c in kept])
    found = pooled_effect([c.effect for c in kept], errors, dfs, level=level)
    return Answer(
        question=question,
        effect=found.effect,
        low=found.low,
        high=found.high,
        p=found.p,
        contrasts=tuple(kept),
    )


def _spread_by_test(contrasts: Sequence[Contrast]) -> dict[str, tuple[float, float]]:
    """Variance of one run and its df, by test: pooled over setups, moderated over tests.

    Two runs a cell have only to say by how much the contrasts of several setups differ.
    """
    of_test: defaultdict[str, list[Contrast]] = defaultdict(list)
    for c in contrasts:
        of_test[c.cell[0]].append(c)
    own = [_within(cells) if any(c.df for c in cells) else _between(cells) for cells in of_test.values()]
    lent = moderate(*zip(*own, strict=True)) if own else moderate([], [])
    return {t: (float(v), float(df)) for t, v, df in zip(of_test, lent.variances, lent.dfs, strict=True)}


def _within(cells: Sequence[Contrast]) -> tuple[float, float]:
    """Variance of one run within these cells, and its df."""
    df = sum(c.df for c in cells)
    return sum(c.variance * c.df for c in cells) / df, df


def _between(cells: Sequence[Contrast]) -> tuple[float, float]:
    """The same from contrasts about their mean."""
    effects, weights = np.array([c.effect for c in cells]), 1 / np.array([c.scale for c in cells])
    squares = float(weights @ (effects - np.average(effects, weights=weights)) ** 2)
    return squares / max(len(cells) - 1, 1), float(len(cells) - 1)


_BOOTS_WITH_A_SPREAD = 3  # a first one and two later ones; of fewer, a belief alone would speak


def first_boots(cells: Sequence[TimedCell], limits: WarmUpLimits) -> Answer | None:
    """The first boot of each setup against its later ones, where every run has a boot of its own.

    Runs of one boot share an error, so that tests do not average it out: boots are the replicates. Their
    spread comes from the later boots of each setup, pooled with a belief about it; where no setup has later
    boots to compare, None. How far the cells differ among themselves is not in that spread: the answer is
    never surer than that of the cells' own first runs (`first_runs`).
    """
    by_setup: defaultdict[str, list[TimedCell]] = defaultdict(list)
    for cell in cells:
        by_setup[cell.setup].append(cell)
    setups = [means for means in map(_boot_means, by_setup.values()) if means.size > 1]
    of_cells = first_runs(cells, limits)
    if of_cells is None or max((boots.size for boots in setups), default=0) < _BOOTS_WITH_A_SPREAD:
        return None
    weights = [1 / (1 + 1 / (boots.size - 1)) for boots in setups]
    effect = float(np.average([boots[0] - boots[1:].mean() for boots in setups], weights=weights))
    squares = sum(float(np.var(boots[1:])) * (boots.size - 1) for boots in setups)
    df = sum(boots.size - 2 for boots in setups) + limits.boot_df
    error = math.sqrt((squares + limits.boot_df * limits.boot_spread**2) / df / sum(weights))
    half = error * float(special.stdtrit(df, 0.5 + limits.level / 2))
    return Answer(
        question=FIRST_BOOT,
        effect=effect,
        low=min(effect - half, of_cells.low),
        high=max(effect + half, of_cells.high),
        p=max(2 * float(special.stdtr(df, -abs(effect) / error)), of_cells.p),
        contrasts=tuple(c for c in map(_first, cells) if c),
    )


def _boot_means(cells: Sequence[TimedCell]) -> Floats:
    """Median over a setup's tests of each boot's log against the test's own mean, in order of the boots."""
    places: defaultdict[int, list[float]] = defaultdict(list)
    for cell in cells:
        logs = _logs(cell, cell.runs)
        for place, off in enumerate(logs - logs.mean()):
            places[place].append(float(off))
    return np.array([np.median(places[k]) for k in sorted(places)])


def _fires(answer: Answer, questions: int, limits: WarmUpLimits) -> bool:
    enough = len(answer.contrasts) >= limits.least_cells
    return enough and abs(answer.effect) >= limits.least_effect and answer.p < limits.p / questions


_TITLES = {
    FIRST_RUN: "First runs are {how}",
    FIRST_OF_BOOT: "The first run of each boot is {how}",
    FIRST_BOOT: "The first boot is {how}",
    TREND: "Runs get {how} from one to the next",
}
_TODO = {
    FIRST_RUN: "Plan a discarded first run of each test on each setup; these first runs are in the findings.",
    FIRST_OF_BOOT: "Plan a discarded first run of each test after every boot; these are in the findings.",
    FIRST_BOOT: (
        "Plan a discarded first run after every boot. Whether this is warm-up or an error of that boot, only "
        "several runs a boot can tell."
    ),
    TREND: "Plan a longer warm-up and the same pause before every run, and take setups in turns.",
}


def _note(answer: Answer) -> StudyNote:
    how = "quicker" if (answer.effect > 0) != (answer.question == TREND) else "slower"
    turn, side = (-1.0 if how == "slower" else 1.0), (1.0 if answer.effect > 0 else -1.0)
    size, *ends = (turn * math.expm1(turn * side * x) for x in (answer.effect, answer.low, answer.high))
    low, high = sorted(ends)
    cells, tests = len(answer.contrasts), len({c.cell[0] for c in answer.contrasts})
    return StudyNote(
        kind=KIND,
        title=_TITLES[answer.question].format(how=how),
        evidence=(
            f"Over {count(cells, 'cell')} of {count(tests, 'test')} {_SUBJECT[answer.question]} "
            f"{share(size)} {how} ({share(low)} to {share(high)}; so in {answer.agreeing} of "
            f"{cells} cells, {chance(answer.p)})."
        ),
        todo=_TODO[answer.question],
        numbers={
            "effect_ln": answer.effect,
            "low_ln": answer.low,
            "high_ln": answer.high,
            "p": answer.p,
            "cells": float(cells),
            "agreeing_cells": float(answer.agreeing),
        },
        cells=tuple(c.cell for c in answer.contrasts),
    )


_SUBJECT = {
    FIRST_RUN: "the first run of a test is, against the later ones,",
    FIRST_OF_BOOT: "the first run of a test in its boot is, against the later ones,",
    FIRST_BOOT: "the first boot of a setup is, against its later ones,",
    TREND: "each run is, against the one before,",
}
