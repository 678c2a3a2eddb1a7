"""What a plan is good for, from the spread that a study's runs and earlier studies have shown."""

from __future__ import annotations

import math

from evenhand.desk.learning import learned_before
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.triaging import spreads_of
from evenhand.plans.looks import Looks
from evenhand.plans.outlook import Outlook, outlook
from evenhand.plans.spreads import Known, expected_spreads
from evenhand.store.workbench import Workbench


def outlook_of(wb: Workbench, record: StudyOnRecord, looks: Looks, *, effect: float | None = None) -> Outlook:
    """How wide each test's interval will be, and which tests will show `effect` (a log; the margin's)."""
    tests = [test.key for test in record.compared_tests if test.locked_fps is None]
    setups = len(record.study.setups)
    past = {
        key: (known.spread.value, known.spread.weight)
        for key, known in learned_before(wb, record.study.key).items()
        if known.spread.weight
    }
    return outlook(
        expected_spreads(tests, own=own_spreads(record), past=past),
        looks=looks,
        comparisons=len(tests) * setups * (setups - 1) // 2,
        effect=math.log1p(record.study.margin if effect is None else effect),
    )


def own_spreads(record: StudyOnRecord) -> dict[str, Known]:
    """The spread of each test so far: variance of log headlines pooled over setups, degrees of freedom."""
    sums: dict[str, tuple[float, float]] = {}
    for (test, setup), (variance, df) in spreads_of(record).items():
        if setup in record.study.setups:
            total, weight = sums.get(test, (0.0, 0.0))
            sums[test] = (total + variance * df, weight + df)
    return {test: (total / weight, weight) for test, (total, weight) in sums.items() if weight}
