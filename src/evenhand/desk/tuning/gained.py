"""What a tuned setup gained over stock: rates by test, watts, noise and degrees, as far as runs tell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from statistics import fmean

from evenhand.desk.comparison.cells import cell
from evenhand.desk.comparison.doubting import rose
from evenhand.desk.comparison.findings_now import minutes_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.elastic import on_machine
from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Cell, Comparison, Finding, Index
from evenhand.findings.gaps import Gap
from evenhand.findings.machines import Machine
from evenhand.findings.scaling import Slope
from evenhand.findings.settings import clocks_of
from evenhand.findings.sound import sounds
from evenhand.findings.temperature import temperatures_at_equal_noise
from evenhand.findings.tuned import added_watts, work_per_joule
from evenhand.metrics.wall import WALL_POWER
from evenhand.store import sound as sound_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Band

RUNS = 5
"""So many runs of each are asked for where there are none: as many as tell 3 % at the usual spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Watts at the wall in the tests in which both were read: those of stock, and what the tuned one adds."""

    tests: tuple[str, ...]
    stock_w: float
    added_w: Band | float
    over: Index | Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Gained:
    """A tuned setup over a stock one of its build.

    `parts` are the kinds that are tuned. `rises` are the clocks that rose, as ratios, that which rose most
    first; `shares` what each test made of it. `watts` is None where nobody read both at the wall.
    """

    tuned: str
    stock: str
    build: str
    parts: tuple[str, ...]
    states: tuple[str, str]
    comparison: Comparison
    rises: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    shares: Mapping[str, Slope] = field(default_factory=dict)
    watts: Drawn | None = None
    noise: tuple[Gap, ...] = ()
    heat: tuple[Gap, ...] = ()

    @property
    def doubted(self) -> int:
        """In how many tests the rate surely gained more than the clock that rose most."""
        return sum(slope.surely_above_one for slope in self.shares.values())

    @property
    def per_joule(self) -> Band | None:
        """Work for a joule at the wall over that of stock; None where it is not told."""
        if self.watts is None or self.overall is None:
            return None
        return work_per_joule(self.overall, self.watts.over)

    @property
    def overall(self) -> Index | Finding | None:
        """Their index over all tests, or the one finding that has a ratio."""
        return _whole(self.comparison)


@dataclass(frozen=True, slots=True, kw_only=True)
class NoSibling:
    """That no other state of the build has runs to be held against, and what runs would tell.

    `there` are other states of the build whose clocks say nothing of which is the tuned one; `at_stock` says
    that the setup is called stock itself.
    """

    tuned: str
    build: str
    parts: tuple[str, ...]
    there: tuple[str, ...]
    tests: tuple[str, ...]
    minutes: float | None
    at_stock: bool = False


def gained_of(wb: Workbench, record: StudyOnRecord, tuned: str) -> Gained | NoSibling:
    """What a setup of a study gained over stock, worked out once while nothing changes."""
    return record.once(f"gained {tuned}", lambda _: _gained_of(wb, record, tuned))


def _gained_of(wb: Workbench, record: StudyOnRecord, tuned: str) -> Gained | NoSibling:
    build = record.setups[tuned].build
    parts = tuple(each.part for each in tuned_store.tuned_parts(wb, [tuned]))
    stock = stock_of(record, tuned)
    if stock is None:
        others = tuple(key for key, each in record.setups.items() if each.build == build and key != tuned)
        return NoSibling(
            tuned=tuned, build=build, parts=parts, there=others, tests=record.study.tests,
            minutes=_minutes(record), at_stock=_called_stock(record.setups[tuned].state),
        )  # fmt: skip
    return _held(wb, record, (tuned, stock), parts)


def stock_of(record: StudyOnRecord, tuned: str) -> str | None:
    """The setup that a tuned one is held against: of its build and with runs, called stock, or else slower.

    One that is itself called stock is held against none.
    """
    own = record.setups[tuned]
    if _called_stock(own.state):
        return None
    others = [
        key for key, each in record.setups.items()
        if each.build == own.build and key != tuned and any(run.run.setup == key for run in record.runs)
    ]  # fmt: skip
    called = [key for key in others if _called_stock(record.setups[key].state)]
    here = _clocks(record, tuned)
    slower = [key for key in others if rose(_clocks(record, key), here)]
    return next(iter((*called, *slower)), None)


def _called_stock(state: str) -> bool:
    return "stock" in state.casefold().split()


def _clocks(record: StudyOnRecord, setup: str) -> dict[str, float]:
    runs = tuple(each.run for each in record.runs if each.run.setup == setup and each.state.counts)
    of = record.setups[setup]
    return clocks_of(Machine(setup=of, build=record.builds[of.build], parts={}, runs=runs))


def _minutes(record: StudyOnRecord) -> float | None:
    """How long five runs of every compared test take on two setups; None where a test does not say."""
    lengths = [test.minutes for test in record.compared_tests]
    told = [length for length in lengths if length is not None]
    return 2 * RUNS * sum(told) if told and len(told) == len(lengths) else None


def _held(
    wb: Workbench, record: StudyOnRecord, pair: tuple[str, str], parts: tuple[str, ...]
) -> Gained:  # fmt: skip
    tuned, stock = pair
    study = replace(record.study, setups=pair)
    cells = [cell(record, test, setup, test.metric) for test in record.compared_tests for setup in pair]
    readings = sound_store.readings_of(wb, pair)
    before, now = _clocks(record, stock), _clocks(record, tuned)
    rises = {n: (before[n], now[n]) for n in before if n in now and now[n] > before[n]}
    most_first = sorted(rises, key=lambda name: -rises[name][1] / rises[name][0])
    return Gained(
        tuned=tuned, stock=stock, build=record.setups[tuned].build, parts=parts,
        states=(record.setups[tuned].state, record.setups[stock].state),
        comparison=compare_study(cells, study=study, minutes=minutes_of(record)),
        rises={name: rises[name] for name in most_first},
        shares=_shares(wb, record, pair), watts=_drawn(record, pair),
        noise=sounds(readings, setups=pair, tests=study.tests),
        heat=temperatures_at_equal_noise(readings, setups=pair),
    )  # fmt: skip


def _shares(wb: Workbench, record: StudyOnRecord, pair: tuple[str, str]) -> Mapping[str, Slope]:
    """What each test made of the clock's rise, as elasticity checks have it."""
    found = on_machine(wb, record, record.setups[pair[0]].build).tuned
    return {gain.test: gain for each in found if (each.tuned, each.stock) == pair for gain in each.gains}


def _drawn(record: StudyOnRecord, pair: tuple[str, str]) -> Drawn | None:
    """Watts at the wall of both, over the tests in which both were read."""
    study = replace(record.study, setups=pair)
    cells = [
        replace(cell(record, test, setup, WALL_POWER), headline=True)
        for test in record.compared_tests
        for setup in pair
    ]
    made = compare_study(cells, study=study)
    tests = tuple(finding.test for finding in made.findings if finding.ratio is not None)
    over = _whole(made)
    if over is None:
        return None
    tuned_w, stock_w = ({test: _mean(cells, test, setup) for test in tests} for setup in pair)
    both = {test: tuned_w[test] + stock_w[test] for test in tests}
    by_watts = _whole(compare_study(cells, study=replace(study, weights=both))) or over
    means = fmean(stock_w.values()), fmean(tuned_w.values())
    return Drawn(tests=tests, stock_w=means[0], added_w=added_watts(by_watts, *means), over=over)


def _whole(made: Comparison) -> Index | Finding | None:
    """What is said of all tests: their index, or the one finding that has a ratio."""
    whole = [index for index in made.indexes if not index.group]
    told = [finding for finding in made.findings if finding.ratio is not None]
    return whole[0] if whole else told[0] if len(told) == 1 else None


def _mean(cells: Sequence[Cell], test: str, setup: str) -> float:
    own = next(each for each in cells if (each.test, each.setup) == (test, setup))
    return fmean(seen.value for seen in own.observations)
