"""The tuned parts of a study, and where their trials stand, worked out once while nothing changes."""

from __future__ import annotations

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.series import Series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.records.trials import Tuned
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench


def tuned_of(wb: Workbench, record: StudyOnRecord) -> tuple[Tuned, ...]:
    """The tuned parts of a study's setups, those that are compared first."""
    found = tuned_store.tuned_parts(wb, record.setups)
    order = list(record.setups)
    return tuple(sorted(found, key=lambda tuned: (order.index(tuned.setup), tuned.part)))


def now_of(record: StudyOnRecord, series: Series) -> TuningNow:
    """Where a series stands, held by what it is of for as long as nothing changes."""
    key = (series.tuned.setup, series.tuned.part, series.load, sorted(series.settings.items()))
    return record.once(f"tuning {key}", lambda _: tuning_now(series))
