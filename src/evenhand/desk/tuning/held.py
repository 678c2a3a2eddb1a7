"""What the hours at every point of a study's tuned parts claim, for those who write about it."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.of_study import now_of, tuned_of
from evenhand.desk.tuning.scenes import claimed_point
from evenhand.desk.tuning.series import series_of
from evenhand.desk.tuning.standing import TuningNow
from evenhand.records.trials import Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.held import Held


def compared_parts(wb: Workbench, record: StudyOnRecord) -> tuple[Tuned, ...]:
    """The tuned parts of the setups that are compared, in the study's order."""
    return tuple(each for each in tuned_of(wb, record) if each.setup in record.study.setups)


def standing_of(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> Iterator[TuningNow]:
    """Where each series of a part with trials stands, that of the last trial first."""
    for series in series_of(wb, tuned.setup, tuned.part):
        if series.trials:
            yield now_of(record, series)


def held_now(wb: Workbench, record: StudyOnRecord) -> tuple[Held, ...]:
    """Every point that was tried for any time, part after part and load after load."""
    return tuple(
        held
        for tuned in compared_parts(wb, record)
        for now in standing_of(wb, record, tuned)
        for held in _of_series(now)
    )


def _of_series(now: TuningNow) -> Iterator[Held]:
    series, told = now.series, claimed_point(now)
    for point in now.points:
        if point.claim.hours > 0:
            yield Held(
                setup=series.tuned.setup, part=series.tuned.part, load=series.load,
                settings=series.settings, clock_mhz=point.clock_mhz, voltage_mv=point.voltage_mv,
                claim=point.claim, offset=series.tuned.offset, told=point is told,
                stock=(series.tuned.stock_clock_mhz, series.tuned.stock_voltage_mv),
                watts=tuple(each.watts for each in point.trials if each.watts is not None),
                hottest_c=tuple(each.hottest_c for each in point.trials if each.hottest_c is not None),
            )  # fmt: skip
