"""A trial that a rig runs: heard of, held against limits, asked to stop, given up, and taken when it ends."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest
from tests.desk.small_folder import NOW
from tests.desk.tuning.small_chip import TRIAL, lay_limit

from evenhand.desk.study.away import put_study_away
from evenhand.desk.tuning.noting import note_trial
from evenhand.desk.tuning.under_way import (
    Heard,
    ask_stop,
    busy_said,
    give_up,
    hear,
    running,
    running_of,
)
from evenhand.errors import BadRecord, EvenhandError, NotFound
from evenhand.records.trials import Outcome
from evenhand.store import trials as trial_store
from evenhand.store import under_way as store
from evenhand.store.workbench import Workbench

TOLD = {name: TRIAL[name] for name in ("setup", "part", "clock_mhz", "voltage_mv", "load", "room_c")} | {
    "key": "a", "hours": 0.0, "planned_h": 1.0,
}  # fmt: skip


@pytest.fixture
def heard() -> Heard:
    return Heard()


def after(seconds: float) -> datetime:
    return NOW + timedelta(seconds=seconds)


def told(wb: Workbench, heard: Heard, seconds: float = 0.0, **changes: Any) -> str:
    """What a rig is answered that tells how its trial stands."""
    given = {**TOLD, "hours": seconds / 3600, **changes}
    return hear(wb, given, rig="rig-1", by="left bench", heard=heard, now=after(seconds)).stop


def test_what_runs_is_told_as_it_was_last_heard_of(bench: Workbench, heard: Heard) -> None:
    assert told(bench, heard) == ""
    told(bench, heard, 5, hottest_c=71.0)
    (found,) = running(bench, ["wren"], heard)
    assert (found.trial.hours, found.trial.hottest_c, found.trial.by) == (5 / 3600, 71.0, "left bench")
    assert (found.begun_at, found.heard_at, found.trial.planned_h) == (NOW, after(5), 1.0)
    assert running_of(bench, "wren", "graphics", heard) == ()


def test_the_file_is_told_once_a_minute_and_when_the_site_closes(bench: Workbench, heard: Heard) -> None:
    told(bench, heard)
    before = bench.changes()
    for second in (5, 10, 55):
        told(bench, heard, second)
    assert bench.changes() == before, "each change of the file makes open pages work anew"
    told(bench, heard, 60)
    assert bench.changes() > before
    (written,) = running(bench, ["wren"])
    assert written.heard_at == after(60)
    told(bench, heard, 75)
    heard.write(bench)
    (written,) = running(bench, ["wren"])
    assert written.heard_at == after(75)


def test_a_stop_reaches_the_rig_with_its_next_word_and_who_asked_first_stands(
    bench: Workbench, heard: Heard
) -> None:
    told(bench, heard)
    ask_stop(bench, "wren", "processor", by="phone", now=after(3))
    asked = ask_stop(bench, "wren", "processor", by="this computer", now=after(4))
    assert (asked.stop_at, asked.stop_by) == (after(3), "phone")
    assert told(bench, heard, 5) == "the stop button of the workbench, pressed on phone"
    assert told(bench, heard, 65, over=True)
    (found,) = running(bench, ["wren"], heard)
    assert (found.over, found.stop_at) == (True, after(3))


def test_where_nothing_runs_nothing_is_stopped(bench: Workbench, heard: Heard) -> None:
    for act in (
        lambda: ask_stop(bench, "wren", "processor", by="phone", now=NOW),
        lambda: give_up(bench, "wren", "processor", "gone", now=NOW),
    ):
        with pytest.raises(NotFound, match="no trial runs there"):
            act()
    told(bench, heard)
    with pytest.raises(NotFound):
        ask_stop(bench, "wren", "processor", by="phone", now=NOW, key="another")


def test_a_limit_noted_while_it_runs_ends_it_and_its_record_is_taken(bench: Workbench, heard: Heard) -> None:
    assert told(bench, heard) == ""
    lay_limit(bench, most=1050.0)
    assert told(bench, heard, 5) == "", "the limit itself is allowed"
    note = {**TRIAL, "key": "b", "voltage_mv": 1060.0, "hours": 0.0}
    assert "past the maker’s limit".replace("’", "'") in told(bench, heard, 10, key="b", voltage_mv=1060.0)
    kept = note_trial(bench, {**note, "outcome": "stopped"}, now=after(15), by="left bench")
    assert kept.trial.outcome is Outcome.STOPPED
    with pytest.raises(BadRecord, match="limit"):
        note_trial(bench, {**note, "key": "c", "hours": 1.0}, now=after(15), by="left bench")


def test_once_its_record_is_there_it_runs_no_more(bench: Workbench, heard: Heard) -> None:
    told(bench, heard)
    note_trial(bench, {**TRIAL, "key": "a"}, now=after(600), by="left bench")
    told(bench, heard, 601)
    assert running(bench, ["wren"], heard) == ()
    heard.write(bench)
    found = store.told_of(bench, "a")
    assert found is not None
    assert found.heard_at == after(601)


def test_one_that_was_given_up_needs_a_reason_and_its_record_is_taken_all_the_same(
    bench: Workbench, heard: Heard
) -> None:
    told(bench, heard)
    with pytest.raises(BadRecord, match="not said why"):
        give_up(bench, "wren", "processor", " ", now=NOW)
    give_up(bench, "wren", "processor", "its disk is gone", now=after(90))
    assert running(bench, ["wren"], heard) == ()
    note_trial(bench, {**TRIAL, "key": "a"}, now=after(600), by="left bench")
    assert len(trial_store.trials_of(bench, ["wren"])) == 1


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"key": ""}, "key"),
        ({"setup": "wran"}, "setup"),
        ({"part": "memory"}, "part"),
        ({"voltage_mv": 1.05}, "voltage_mv"),
        ({"hours": -1.0}, "hours"),
        ({"hottest_c": 400.0}, "hottest_c"),
        ({"planned_h": 0.0}, "planned_h"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(
    bench: Workbench, heard: Heard, changes: dict[str, Any], where: str
) -> None:
    with pytest.raises(EvenhandError) as refused:
        told(bench, heard, **changes)
    assert refused.value.where == where
    assert running(bench, ["wren"], heard) == ()


def test_what_was_told_first_of_the_point_stands_and_another_rig_has_no_say(
    bench: Workbench, heard: Heard
) -> None:
    told(bench, heard)
    told(bench, heard, 61, voltage_mv=900.0)
    (found,) = running(bench, ["wren"])
    assert found.trial.voltage_mv == 1050.0
    with pytest.raises(BadRecord, match="another rig"):
        hear(bench, TOLD, rig="rig-2", by="right bench", heard=heard, now=NOW)


def test_a_machine_is_busy_as_long_as_its_trial_is_heard(bench: Workbench, heard: Heard) -> None:
    def said(seconds: float) -> str:
        return busy_said(bench, "wren", heard, now=after(seconds), clock=lambda at: at)

    assert said(0) == ""
    told(bench, heard)
    assert "A trial of its processor has been running there since" in said(1)
    assert busy_said(bench, "plover", heard, now=after(1), clock=lambda at: at) == ""
    assert said(25) == "", "who asks from there has ended it, or is another machine"
    told(bench, heard, 30, over=True)
    assert said(31) == ""


def test_what_runs_can_be_stopped_and_its_record_kept_while_the_study_is_put_away(
    bench: Workbench, heard: Heard
) -> None:
    told(bench, heard)
    put_study_away(bench, "quay", note="", by="", now=NOW)
    ask_stop(bench, "wren", "processor", by="phone", now=after(3))
    assert told(bench, heard, 5)
    note_trial(bench, {**TRIAL, "key": "a", "outcome": "stopped"}, now=after(9), by="left bench")
    assert len(trial_store.trials_of(bench, ["wren"])) == 1
