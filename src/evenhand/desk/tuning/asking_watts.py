"""The watts of a tuned part as somebody asks for them: of a study's setup, or with no study in view."""

from __future__ import annotations

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.tuning.cooled import cooled_of
from evenhand.desk.tuning.elastic import elasticity_of
from evenhand.desk.tuning.noting import only_part
from evenhand.desk.tuning.of_study import now_of, series_key, setup_of_study
from evenhand.desk.tuning.series import every_or_one
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.desk.tuning.watts import WattsNow, watts_now
from evenhand.store.workbench import Workbench


def asked_watts(wb: Workbench, setup: str, part: str, *, load: str = "", study: str = "") -> WattsNow:
    """What the trials of a part under a load tell of its watts, that of the last trial where none is named.

    With a study work follows the clock as its tests measured. Raises NotFound for what is not on record.
    """
    series = every_or_one(wb, setup, part or only_part(wb, setup), load)[0]
    if not study:
        now = tuning_now(series)
        cooled, by = cooled_of(wb, series.tuned, room_c=now.room_c)
        return watts_now(now, cooled=cooled, cooled_by=by)
    record = load_study(wb, study)
    setup_of_study(record, setup, where="study")
    return watts_of_study(wb, record, now_of(record, series))


def watts_of_study(wb: Workbench, record: StudyOnRecord, now: TuningNow) -> WattsNow:
    """The watts of a series, work following the clock as a study's tests measured it; worked out once."""
    series = now.series

    def work(_: StudyOnRecord) -> WattsNow:
        elasticity = elasticity_of(wb, record, series.tuned)
        cooled, by = cooled_of(wb, series.tuned, room_c=now.room_c)
        return watts_now(now, elasticity=elasticity, cooled=cooled, cooled_by=by)

    return record.once(f"watts {series_key(series)}", work)
