"""The room and the watts noted beside a slot are its run's, while it lands and afterwards."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.desk.filed_scores import STUDY, filed, score_plan, slot_of_plan
from tests.desk.small_folder import NOW

from evenhand.desk.bench import landing
from evenhand.desk.bench.planning import Noted, note, plan_now
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.run_readings import note_run
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord
from evenhand.store import plans
from evenhand.store import runs as run_store
from evenhand.store.history import history_of
from evenhand.store.workbench import Workbench

LATER = NOW + timedelta(minutes=9)


@pytest.fixture
def quay(stocked: Workbench) -> Workbench:
    score_plan(stocked)
    return stocked


def noted(wb: Workbench, value: str, *, key: str = "wall_w") -> Noted:
    plan, own = slot_of_plan(wb, 1)
    return note(wb, plan.id, own.number, key, value, by="phone", now=LATER)


def test_watts_noted_once_the_run_has_landed_are_the_runs_and_the_change_is_history(quay: Workbench) -> None:
    run = filed(quay, slot=1, minutes=5)
    assert noted(quay, "287 W").run == run
    assert run_store.run(quay, run).wall_w == 287.0
    assert history_of(quay, "runs", run)[-1].after["wall_w"] == 287.0
    assert landing.one_run(quay, "quay", run).metrics.values["wall_w"] == 287.0


def test_taken_back_beside_the_slot_they_are_taken_from_the_run(quay: Workbench) -> None:
    run = filed(quay, slot=1, minutes=5)
    noted(quay, "287")
    noted(quay, "")
    assert run_store.run(quay, run).wall_w is None


def test_watts_noted_while_the_run_is_read_are_not_lost(
    quay: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    reads = landing.runs_of

    def typed_meanwhile(*given: object) -> object:
        assert noted(quay, "287").run is None
        return reads(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(landing, "runs_of", typed_meanwhile)
    run = filed(quay, slot=1, minutes=5)
    assert run_store.run(quay, run).wall_w == 287.0


def test_the_same_value_twice_is_one_note(quay: Workbench) -> None:
    noted(quay, "287")
    noted(quay, "287 W")
    plan, _ = slot_of_plan(quay, 1)
    assert [one.value for one in plans.notes_of(quay, plan.id)] == ["287"]


def test_a_run_that_landed_takes_a_reading_of_its_own_and_tells_its_slot(quay: Workbench) -> None:
    run = filed(quay, slot=1, minutes=5)
    note_run(quay, run, "ambient_c", "23,5", said=Said(now=LATER, by="phone"))
    assert run_store.run(quay, run).ambient_c == 23.5
    plan, _ = slot_of_plan(quay, 1)
    assert plans.notes_of(quay, plan.id)[-1].value == "23.5"


def test_what_is_no_number_is_refused_and_nothing_changed(quay: Workbench) -> None:
    run = filed(quay, slot=1, minutes=5)
    with pytest.raises(BadRecord, match="is no power at the wall"):
        note_run(quay, run, "wall_w", "lots", said=Said(now=LATER))
    with pytest.raises(BadRecord, match="nothing to note"):
        note_run(quay, run, "boot", "9", said=Said(now=LATER))
    assert run_store.run(quay, run).wall_w is None


def test_readings_of_a_run_that_was_set_aside_are_not_those_of_the_run_in_its_place(quay: Workbench) -> None:
    first = filed(quay, slot=1, minutes=5)
    noted(quay, "287")
    noted(quay, "24.5", key="ambient_c")
    set_aside(quay, first, reason="interrupted", said=Said(note="", now=LATER + timedelta(minutes=1)))
    plan = plan_now(quay, STUDY)
    again = plan.now(1) if plan else None
    assert again
    assert again.state.open
    assert again.notes == {}
    second = filed(quay, slot=1, minutes=15)
    assert (run_store.run(quay, second).wall_w, run_store.run(quay, second).ambient_c) == (None, None)
    assert run_store.run(quay, first).wall_w == 287.0


def test_the_same_watts_read_again_for_the_run_in_its_place_are_its_own(quay: Workbench) -> None:
    first = filed(quay, slot=1, minutes=5)
    noted(quay, "287")
    set_aside(quay, first, reason="interrupted", said=Said(note="", now=LATER + timedelta(minutes=1)))
    plan, own = slot_of_plan(quay, 1)
    note(quay, plan.id, own.number, "wall_w", "287", by="phone", now=LATER + timedelta(minutes=2))
    second = filed(quay, slot=1, minutes=15)
    assert run_store.run(quay, second).wall_w == 287.0
