"""A rig's clock is doubted where a run ends after it came in, or begins before the one before it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from evenhand.desk.bench.rig_clock import clock_doubt
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.store.workbench import Workbench

CAME = datetime(2031, 10, 26, 1, 10, tzinfo=UTC)
SUMMER, WINTER = timezone(timedelta(hours=2)), timezone(timedelta(hours=1))


def doubt(wb: Workbench, *starts: datetime) -> str:
    """What is said of the last of runs on one rig that come in ten minutes apart, the last one at CAME."""
    record = load_study(wb, "quay")
    own = record.cell("causeway", "wren")[: len(starts)]
    told = {
        e.run.id: replace(e, run=replace(e.run, started_at=at, duration_s=90.0))
        for e, at in zip(own, starts, strict=True)
    }
    runs = tuple(told.get(each.run.id, each) for each in record.runs)
    changed: StudyOnRecord = replace(record, runs=runs)
    back = range(len(starts) - 1, -1, -1)
    came = {key: CAME - timedelta(minutes=10 * n) for key, n in zip(told, back, strict=True)}
    return clock_doubt(changed, list(told.values())[-1], came)


@pytest.mark.parametrize("minutes", [30, 5, 1.5, -1])
def test_a_run_that_just_ended_is_not_doubted(stocked: Workbench, minutes: float) -> None:
    assert doubt(stocked, CAME - timedelta(minutes=minutes)) == ""


def test_a_start_in_the_future_is_told_with_its_amount(stocked: Workbench) -> None:
    told = doubt(stocked, CAME + timedelta(minutes=25))
    assert told == "Its log ends 26\xa0min after it came in: the rig’s clock is ahead."


def test_an_hour_ahead_is_said_to_look_like_summer_time(stocked: Workbench) -> None:
    told = doubt(stocked, CAME + timedelta(minutes=56))
    assert "58\xa0min" in told
    assert told.endswith("the rig’s clock is ahead, as by summer time or a wrong time zone.")


def test_a_clock_set_back_by_an_hour_between_two_runs_is_told(stocked: Workbench) -> None:
    first, again = CAME - timedelta(minutes=12), CAME - timedelta(minutes=2, hours=1)
    told = doubt(stocked, first, again)
    assert told.startswith("Its log starts 50\xa0min before that of the run made before it on this rig")
    assert "as by summer time" in told


def test_the_end_of_summer_time_itself_moves_nothing(stocked: Workbench) -> None:
    before = (CAME - timedelta(minutes=12)).astimezone(SUMMER)
    after = (CAME - timedelta(minutes=2)).astimezone(WINTER)
    assert after.replace(tzinfo=None) < before.replace(tzinfo=None)
    assert doubt(stocked, before, after) == ""
