"""How much of a tuned part's clock the tests of a study turn into rate, as runs of its build measured."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.comparison.causing import grounds_of
from evenhand.desk.comparison.limiting import OnMachine, limits_of, part_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.scaling import Slope
from evenhand.records.trials import Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Known, reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Elasticity:
    """Δln rate / Δln clock, on average of the tests that tell it; `tests` is empty where it is only taken."""

    known: Known
    tests: tuple[str, ...] = ()


IN_STEP = Elasticity(known=Known(value=1.0))
"""What is taken where no run tells: work in step with the clock, which no part does better than."""


def on_machine(wb: Workbench, record: StudyOnRecord, build: str) -> OnMachine:
    """What the clocks of a build's setups say of every test, worked out once while nothing changes."""

    def work(_: StudyOnRecord) -> OnMachine:
        return limits_of(grounds_of(wb, record), [build])[0]

    return record.once(f"limits of {build}", work)


def elasticity_of(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> Elasticity:
    """The mean elasticity on the clock of a tuned part, over the tests whose interval is known.

    One that lies surely above 1 tells of a baseline that was not what it was said to be, and is left out.
    Tests of one bench day share what boots and rooms do to them, so that their errors are taken to be the
    same error: the mean is as unsure as its tests are on average.
    """
    found = slopes_of(wb, record, tuned)
    slopes = [slope for slope in found if slope.low is not None and not slope.surely_above_one]
    if not slopes:
        return IN_STEP
    value = sum(slope.value for slope in slopes) / len(slopes)
    sd = sum(_half(slope) for slope in slopes) / len(slopes) / reach()
    return Elasticity(known=Known(value=value, sd=sd), tests=tuple(slope.test for slope in slopes))


def slopes_of(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> tuple[Slope, ...]:
    """The elasticity of each test on the clock of a tuned part, where two setups of its build tell it."""
    if tuned.setup not in record.setups:
        return ()
    found = on_machine(wb, record, record.setups[tuned.setup].build)
    evidence = [slope for limit in found.limits for slope, _ in limit.evidence]
    return tuple(slope for slope in evidence if part_of(slope.setting) == tuned.part)


def _half(slope: Slope) -> float:
    return 0.0 if slope.low is None or slope.high is None else (slope.high - slope.low) / 2
