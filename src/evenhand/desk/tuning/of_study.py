"""The tuned parts of a study, and where their trials stand, worked out once while nothing changes."""

from __future__ import annotations

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.series import Series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.errors import NotFound, nearest
from evenhand.records.trials import Tuned
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench


def tuned_of(wb: Workbench, record: StudyOnRecord) -> tuple[Tuned, ...]:
    """The tuned parts of a study's setups, those that are compared first."""
    found = tuned_store.tuned_parts(wb, record.setups)
    order = list(record.setups)
    return tuple(sorted(found, key=lambda tuned: (order.index(tuned.setup), tuned.part)))


def setup_of_study(record: StudyOnRecord, setup: str, *, where: str = "setup") -> str:
    """A setup of a study; `where` is what was given last. Raises NotFound with the nearest one."""
    if setup not in record.setups:
        found = f"{setup} is no setup of the study {record.study.key}"
        raise NotFound(found, where=where, todo=nearest(setup, record.setups))
    return setup


def now_of(record: StudyOnRecord, series: Series) -> TuningNow:
    """Where a series stands, held by what it is of for as long as nothing changes."""
    return record.once(f"tuning {series_key(series)}", lambda _: tuning_now(series))


def series_key(series: Series) -> str:
    """What a series is of; no other series of a workbench has this key."""
    return repr((series.tuned.setup, series.tuned.part, series.load, sorted(series.settings.items())))
