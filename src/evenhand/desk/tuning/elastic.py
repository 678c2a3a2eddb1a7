"""How much of a tuned part's clock the tests of a study turn into rate, as runs of its build measured."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.comparison.causing import grounds_of
from evenhand.desk.comparison.limiting import OnMachine, limits_of, part_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.scaling import Slope
from evenhand.findings.tuned import mean_elasticity, tells_elasticity
from evenhand.records.trials import Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Known


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
    """The mean elasticity on the clock of a tuned part, over the tests that tell it; else in step."""
    slopes = slopes_of(wb, record, tuned)
    known = mean_elasticity(slopes)
    if known is None:
        return IN_STEP
    return Elasticity(known=known, tests=tuple(each.test for each in slopes if tells_elasticity(each)))


def slopes_of(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> tuple[Slope, ...]:
    """The elasticity of each test on the clock of a tuned part, where two setups of its build tell it."""
    if tuned.setup not in record.setups:
        return ()
    found = on_machine(wb, record, record.setups[tuned.setup].build)
    evidence = [slope for limit in found.limits for slope, _ in limit.evidence]
    return tuple(slope for slope in evidence if part_of(slope.setting) == tuned.part)
