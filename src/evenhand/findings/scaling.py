"""How the rate of a test follows clocks and pixels: elasticities, and what holds the rate back."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from evenhand.findings.caveats import DOUBTED
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.leanings import Leaning, leaning_of
from evenhand.findings.measured import Asked, Measured, Summed, measured, sums
from evenhand.findings.outcomes import SHOWN_INTERVAL
from evenhand.stats.slopes import slope_weights, sum_weights
from evenhand.stats.spread import Floats

TOGETHER = "all clocks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """Δln rate / Δln setting in one test: `value` with its interval at `level`, None without repeats.

    `low` and `high` are widened by the allowance for shared errors, which stands over a small step of a clock
    as over a large one. `cells` are those it was had from; `caveats` say what repeats cannot show. `along`
    are clocks that rose with the one it is told of, to which the gain may belong as well.
    """

    test: str
    setting: str
    value: float
    low: float | None
    high: float | None
    cells: tuple[str, ...]
    runs: int
    level: float = SHOWN_INTERVAL
    caveats: tuple[Caveat, ...] = ()
    along: tuple[str, ...] = ()

    @property
    def surely_above_one(self) -> bool:
        """Whether the rate surely gained more than the clock: the baseline was not what it was said to be."""
        return self.low is not None and self.low > 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A cell with what was set for it, by name, each in one unit throughout (MHz, pixels)."""

    cell: Cell
    settings: Mapping[str, float]


def elasticities(points: Sequence[Point], *, boot_allowance: float) -> tuple[Slope, ...]:
    """Clock-scaling elasticity β of each test on each clock that varies, and of all clocks together.

    `points`: one build in several states, other things alike (ask `fairness` first); those that lack a clock
    which others name are left out. Least squares of mean ln rate on ln clocks; spread moderated over tests.
    Of parts that limit one after the other the shares add up, Σβ ≲ 1: a rate cannot gain more than every
    clock did, unless something else changed as well (Amdahl 1967). A β that lies surely above 1 says that the
    baseline was not what it was said to be: it ran hot, below its clock, or with other memory settings.
    """
    return _slopes(points, boot_allowance=boot_allowance, together=True)


def tuned_gains(
    tuned: str, stock: str, points: Sequence[Point], *, boot_allowance: float
) -> tuple[Slope, ...]:
    """The gain of a tuned setup over stock, by test, as a share of the clock that rose most.

    ln(rate ratio) / the largest Δln clock. Since Σβ ≲ 1, no rate gains more than that clock, however many
    rose together: a share that lies surely above 1 says that the baseline was not what it was said to be.
    Tests in which no clock rose, or that lack a setup, have none.
    """
    asked = [
        (rose, a)
        for test in dict.fromkeys(point.cell.test for point in points)
        for rose, a in _gain(tuned, stock, {p.cell.setup: p for p in points if p.cell.test == test})
    ]
    found = sums([a for _, a in asked], boot_allowance=boot_allowance)
    return tuple(
        replace(_slope(rose[0], a, s), along=rose[1:]) for (rose, a), s in zip(asked, found, strict=True)
    )


def _gain(
    tuned: str, stock: str, points: Mapping[str, Point]
) -> Iterator[tuple[tuple[str, ...], Asked]]:  # fmt: skip
    """The clocks that rose, the one that rose most first, and the gain for each unit of that."""
    if not {tuned, stock} <= points.keys():
        return
    new, old = points[tuned].settings, points[stock].settings
    rises = {n: math.log(new[n] / old[n]) for n in old if new.get(n, 0.0) > 0 and old[n] > 0}
    of = measured({setup: points[setup].cell for setup in (tuned, stock)})
    if of is None or len(of.cells) < 2 or not rises or max(rises.values()) <= 0:
        return
    rose = tuple(sorted((n for n in rises if rises[n] > 0), key=lambda n: -rises[n]))
    most = rises[rose[0]]
    yield rose, Asked(of=of, weights={tuned: 1.0 / most, stock: -1.0 / most})


def resolution_slopes(points: Sequence[Point], *, boot_allowance: float) -> tuple[Slope, ...]:
    """Slope of ln rate on ln pixels, by test: one scene at several resolutions, on one setup.

    `points`: cells whose `test` names the scene, each with its "pixels"; their setups name resolutions.
    """
    return _slopes(points, boot_allowance=boot_allowance, together=False)


def _slopes(points: Sequence[Point], *, boot_allowance: float, together: bool) -> tuple[Slope, ...]:
    asked = [
        (setting, a)
        for test in dict.fromkeys(point.cell.test for point in points)
        for setting, a in _asked([p for p in points if p.cell.test == test], together=together)
    ]
    found = sums([a for _, a in asked], boot_allowance=boot_allowance)
    return tuple(_slope(setting, a, s) for (setting, a), s in zip(asked, found, strict=True))


def _asked(points: Sequence[Point], *, together: bool) -> Iterator[tuple[str, Asked]]:
    """The slopes that a test's points tell."""
    names = tuple(dict.fromkeys(name for point in points for name in point.settings))
    whole = {p.cell.setup: p for p in points if all(p.settings.get(name, 0.0) > 0 for name in names)}
    of = measured({setup: p.cell for setup, p in whole.items()})
    if of is None or not names:
        return
    table = np.log([[whole[setup].settings[name] for name in names] for setup in of.cells])
    varying = [k for k in range(len(names)) if float(np.ptp(table[:, k])) > 0]
    weights = slope_weights(table[:, varying]) if varying else ()
    for k, w in zip(varying, weights, strict=True):
        if w is not None:
            yield names[k], _sum(of, w)
    total = sum_weights(weights)
    if together and total is not None and len(varying) > 1:
        yield TOGETHER, _sum(of, total)


def _sum(of: Measured, weights: Floats) -> Asked:
    return Asked(of=of, weights={name: float(w) for name, w in zip(of.cells, weights, strict=True)})


def _slope(setting: str, asked: Asked, summed: Summed) -> Slope:
    d, half = summed.difference.d, summed.difference.half_width(SHOWN_INTERVAL)
    one_run = summed.one_run or half is None
    reach = 0.0 if half is None else half + summed.allowance
    return Slope(
        test=asked.of.test, setting=setting, value=d,
        low=None if one_run else d - reach, high=None if one_run else d + reach,
        cells=tuple(name for name, w in asked.weights.items() if w), runs=summed.runs,
        caveats=summed.caveats,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What holds a test's rate back, as far as slopes show, and the slopes that say so."""

    test: str
    leaning: Leaning
    evidence: tuple[tuple[Slope, Leaning], ...] = ()
    caveats: tuple[Caveat, ...] = ()


def limits(
    tests: Sequence[str],
    *,
    clocks: Sequence[Slope] = (),
    pixels: Sequence[Slope] = (),
    parts: Mapping[str, str],
) -> tuple[Limit, ...]:
    """Graphics-limited, processor-limited, mixed or not shown, for each of these tests.

    `parts` says of which part a clock is ("graphics clock" → "graphics"). Each slope says what its interval
    allows (`leanings.leaning_of`); those that say something must agree, else the test is mixed.
    """
    return tuple(
        _limit(test, [s for s in (*pixels, *clocks) if s.test == test], pixels, parts) for test in tests
    )


def _limit(test: str, slopes: Sequence[Slope], pixels: Sequence[Slope], parts: Mapping[str, str]) -> Limit:
    read = [s for s in slopes if s in pixels or s.setting in parts]
    evidence = tuple((s, _leaning(s, pixels, parts)) for s in read)
    said = {leaning for _, leaning in evidence if leaning is not Leaning.NOT_SHOWN}
    leaning = said.pop() if len(said) == 1 else Leaning.MIXED if said else Leaning.NOT_SHOWN
    above = [s for s in slopes if s not in pixels and s.surely_above_one]
    return Limit(test=test, leaning=leaning, evidence=evidence, caveats=tuple(map(_above, above)))


def _leaning(slope: Slope, pixels: Sequence[Slope], parts: Mapping[str, str]) -> Leaning:
    """What a slope says; nothing where a rate gained more than its clock, which no part explains."""
    if slope not in pixels and slope.surely_above_one:
        return Leaning.NOT_SHOWN
    return leaning_of(_part(slope, pixels, parts), slope.low, slope.high)


def _part(slope: Slope, pixels: Sequence[Slope], parts: Mapping[str, str]) -> str:
    return "pixels" if slope in pixels else parts[slope.setting]


def _above(slope: Slope) -> Caveat:
    words = f"the rate gained more than {_plain(slope.setting)}: the baseline was not what it was said to be"
    return Caveat(key="above-one", words=words, tests=(slope.test,))


def doubts(tuned: str, stock: str, gains: Sequence[Slope]) -> dict[str, Caveat]:
    """By test, that stock is in doubt, where tuned gained more than the clock that rose."""
    return {gain.test: _doubt(tuned, stock, _plain(gain.setting)) for gain in gains if gain.surely_above_one}


def _doubt(tuned: str, stock: str, clock: str) -> Caveat:
    words = (
        f"{{setups[1]}} gained more over {{setups[0]}} than its {clock} rose, which no rate can: "
        "{setups[0]} ran below what it was said to be, or more was changed than a clock"
    )
    return Caveat(key=DOUBTED, words=words, setups=(stock, tuned))


def _plain(words: str) -> str:
    return words.replace("{", "{{").replace("}", "}}")
