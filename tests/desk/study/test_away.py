"""A study put away is closed and loses nothing: it is read, what comes for it waits, and all comes back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.desk.landing_cases import STUDY, come_in, filing, log
from tests.desk.small_folder import LATER, NOW, Folder, changed_tables, everything

from evenhand.desk.bench import landing, making_runs
from evenhand.desk.bench.bench_day import mask_plan
from evenhand.desk.bench.came_answers import came_answer
from evenhand.desk.bench.confirming import file_as
from evenhand.desk.bench.inbox import inbox
from evenhand.desk.bench.landing import land, land_score
from evenhand.desk.bench.matching import Proposal, propose
from evenhand.desk.bench.placing import note_waiting
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, note, replan, skip
from evenhand.desk.bench.rigs import next_for
from evenhand.desk.bench.uploading import Came, after_a_stop, place_in, take_in
from evenhand.desk.comparison.comparing import compare
from evenhand.desk.listing import list_studies
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.logs.readings import Reading
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.cutting import cut_run
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.desk.study.away import (
    StudyIsAway,
    away_now,
    bring_study_back,
    put_study_away,
    studies_at_hand,
)
from evenhand.desk.study.away_waiting import land_waiting, waiting_for
from evenhand.desk.study.briefing import add_test, change_study, change_test, start_study
from evenhand.errors import BadRecord, NotFound
from evenhand.store import away as away_store
from evenhand.store.workbench import Workbench, open_workbench

FACTS = {"study": STUDY, "test": "causeway", "setup": "wren"}


def put_away(wb: Workbench, why: str = "made twice") -> None:
    put_study_away(wb, STUDY, note=why, by="this computer", now=NOW)


def bring_back(wb: Workbench) -> bool:
    return bring_study_back(wb, STUDY, by="this computer", now=LATER)


def upload(wb: Workbench, data: bytes | None = None, **facts: str) -> Came:
    return take_in(wb, data or log(), name="a.csv", facts={**FACTS, **facts}, by="Wren", now=LATER)


def look_on(done: int, total: int, what: str) -> None:
    """Nobody watches."""


def land_all(wb: Workbench) -> tuple[int, int]:
    return land_waiting(wb, STUDY, by="this computer", now=LATER, watch=look_on)


def test_it_is_away_and_says_since_when_and_why(stocked: Workbench) -> None:
    put_away(stocked)
    away = load_study(stocked, STUDY).away
    assert away is not None
    assert (away.at, away.note, away.by) == (NOW, "made twice", "this computer")
    assert studies_at_hand(stocked) == ()
    assert [line.away for line in list_studies(stocked)] == [away]


def test_brought_back_it_is_as_it_was_and_both_are_history(stocked: Workbench) -> None:
    before = load_study(stocked, STUDY)
    put_away(stocked)
    assert bring_back(stocked)
    assert load_study(stocked, STUDY) == before
    assert [each.away for each in away_store.away_of(stocked, STUDY)] == [True, False]


def test_who_puts_away_what_is_away_finds_what_was_said_first(stocked: Workbench) -> None:
    put_away(stocked)
    again = put_study_away(stocked, STUDY, note="me too", by="a laptop", now=LATER)
    assert (again.note, again.by) == ("made twice", "this computer")
    assert len(away_store.away_of(stocked, STUDY)) == 1


def test_who_brings_back_what_is_back_changes_nothing(stocked: Workbench) -> None:
    assert not bring_back(stocked)
    assert away_store.away_of(stocked, STUDY) == ()


def test_a_study_that_is_not_here_cannot_be_put_away(stocked: Workbench) -> None:
    with pytest.raises(NotFound):
        put_study_away(stocked, "key", note="", by="me", now=NOW)
    with pytest.raises(NotFound):
        bring_study_back(stocked, "key", by="me", now=NOW)


def test_a_note_without_end_is_refused(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="401 characters"):
        put_away(stocked, "x" * 401)
    assert away_now(stocked) == {}


def test_nothing_that_would_change_it_is_let_through(stocked: Workbench, place: Path) -> None:
    plan = make_plan(stocked, STUDY, Terms(looks=(5,)), seed=4, now=NOW)
    run = load_study(stocked, STUDY).runs[0].run
    put_away(stocked)
    before = everything(place)
    for change in (
        lambda: set_aside(stocked, run.id, reason="rate-cap", said=Said(now=LATER)),
        lambda: make_plan(stocked, STUDY, Terms(looks=(5,)), seed=5, now=LATER),
        lambda: replan(stocked, STUDY, seed=5, now=LATER),
        lambda: note(stocked, plan.id, 1, "ambient_c", "23", by="me", now=LATER),
        lambda: skip(stocked, plan.id, 1, "no time", by="me", now=LATER),
        lambda: mask_plan(stocked, plan.id, masked=True, by="me", now=LATER),
        lambda: change_study(stocked, STUDY, {"title": "Another"}, now=LATER),
        lambda: change_test(stocked, "causeway", {"name": "Another"}, now=LATER),
        lambda: add_test(stocked, STUDY, {"name": "New", "measures": "frames", "metric": "average_fps",
                                          "unit": "fps", "direction": "higher"}, now=LATER),
        lambda: cut_run(stocked, run.id, None, now=LATER),
        lambda: land_score(stocked, filing("render", score=12.0), by="me", now=LATER),
    ):  # fmt: skip
        with pytest.raises(StudyIsAway, match=r"“.+” is put away since 4.May.2031 09:30 UTC: made twice"):
            change()
    assert changed_tables(before, everything(place)) == set()


def test_what_another_study_shares_may_change(stocked: Workbench) -> None:
    other = start_study(stocked, {"title": "Another", "tests": ["causeway"]}, now=NOW)
    put_away(stocked)
    assert change_test(stocked, "causeway", {"name": "Causeway at noon"}, now=LATER).change
    put_study_away(stocked, other.key, note="", by="me", now=LATER)
    with pytest.raises(StudyIsAway):
        change_test(stocked, "causeway", {"name": "Causeway at dusk"}, now=LATER)


def test_it_can_be_compared_and_exported(stocked: Workbench, tmp_path: Path) -> None:
    said = compare(stocked, STUDY, now=NOW).comparison
    put_away(stocked)
    assert compare(stocked, STUDY, now=LATER).comparison == said
    export_study(stocked, STUDY, tmp_path / "out")
    with open_workbench(tmp_path / "other.evenhand") as other:
        import_folder(other, tmp_path / "out", now=LATER)
        assert load_study(other, STUDY).away is None


def test_an_import_of_its_folder_says_so_and_brings_nothing_back(
    stocked: Workbench, folder: Folder, tmp_path: Path, place: Path
) -> None:
    put_away(stocked)
    before = everything(place)
    changed = folder.without("wren causeway 3").write(tmp_path / "changed")
    with pytest.raises(StudyIsAway) as refused:
        import_folder(stocked, changed, now=LATER)
    assert "evenhand bring-back quay" in refused.value.todo
    assert changed_tables(before, everything(place)) == set()


def test_an_upload_is_kept_and_waits_with_the_reason(stocked: Workbench) -> None:
    put_away(stocked)
    came = upload(stocked)
    assert came.landed is None
    (waits,) = inbox(stocked)
    assert waits.arrival == came.arrival
    assert waits.why.startswith("its study, “")
    assert "is put away since 4\N{NO-BREAK SPACE}May\N{NO-BREAK SPACE}2031 09:30" in waits.why
    assert "its study" in str(came_answer(stocked, came)["waits"])


def test_it_lands_when_the_study_is_brought_back(stocked: Workbench) -> None:
    runs = len(load_study(stocked, STUDY).runs)
    put_away(stocked)
    upload(stocked)
    upload(stocked, log(45), setup="plover")
    assert len(waiting_for(stocked, STUDY)) == 2
    bring_back(stocked)
    assert land_all(stocked) == (2, 0)
    assert len(load_study(stocked, STUDY).runs) == runs + 2
    assert inbox(stocked) == ()


def test_a_log_that_came_under_no_studys_name_waits_for_it_as_well(stocked: Workbench) -> None:
    put_away(stocked)
    arrival = come_in(stocked, log(), "wren causeway 9.csv")
    assert place_in(stocked, arrival, by="folder", now=LATER).landed is None
    assert waiting_for(stocked, STUDY) == (arrival,)
    bring_back(stocked)
    assert land_all(stocked) == (1, 0)


def test_what_waits_for_another_reason_is_left_alone(stocked: Workbench) -> None:
    unclear = come_in(stocked, log(46), "take.csv", study=STUDY)
    place_in(stocked, unclear, by="folder", now=LATER)
    put_away(stocked)
    bring_back(stocked)
    assert waiting_for(stocked, STUDY) == ()
    assert [waits.arrival for waits in inbox(stocked)] == [unclear]


def test_it_can_be_placed_elsewhere_meanwhile(stocked: Workbench) -> None:
    other = start_study(stocked, {"title": "Another", "tests": ["causeway"], "setups": ["wren"]}, now=NOW).key
    put_away(stocked)
    came = upload(stocked)
    with pytest.raises(StudyIsAway):
        file_as(stocked, came.arrival.id, Proposal(study=STUDY, test="causeway", setup="wren"), facts={},
                layout=None, by="me", now=LATER)  # fmt: skip
    chosen = Proposal(study=other, test="causeway", setup="wren")
    filed = file_as(stocked, came.arrival.id, chosen, facts={}, layout=None, by="me", now=LATER)
    assert filed.run.run.study == other
    bring_back(stocked)
    assert land_all(stocked) == (0, 0)


def test_a_file_that_fits_two_studies_goes_to_the_one_at_hand(stocked: Workbench) -> None:
    other = start_study(stocked, {"title": "Another", "tests": ["causeway"], "setups": ["wren"]}, now=NOW).key
    arrival = come_in(stocked, log(), "wren causeway 9.csv")
    assert not propose(stocked, arrival).sure
    put_away(stocked)
    assert (propose(stocked, arrival).study, propose(stocked, arrival).sure) == (other, True)


def test_put_away_between_coming_in_and_landing_it_waits(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = making_runs.readable

    def meanwhile(reading: Reading) -> Reading:
        put_away(stocked)
        return read(reading)

    monkeypatch.setattr(making_runs, "readable", meanwhile)
    runs = len(load_study(stocked, STUDY).runs)
    came = upload(stocked)
    assert came.landed is None
    assert len(load_study(stocked, STUDY).runs) == runs
    assert waiting_for(stocked, STUDY) == (came.arrival,)


def test_brought_back_before_the_reason_is_down_it_lands_all_the_same(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:

    def meanwhile(*about: Any, **more: Any) -> None:
        if bring_back(stocked):
            assert land_all(stocked) == (0, 0)
        note_waiting(*about, **more)

    monkeypatch.setattr(landing, "note_waiting", meanwhile)
    put_away(stocked)
    assert upload(stocked).landed is not None
    assert inbox(stocked) == ()


def test_stopped_while_it_landed_what_waited_the_rest_lands_once_the_program_runs_again(
    stocked: Workbench,
) -> None:
    put_away(stocked)
    upload(stocked)
    bring_back(stocked)
    after_a_stop(stocked, now=LATER)
    assert inbox(stocked) == ()


def test_stopped_after_it_came_in_it_waits_once_the_program_runs_again(stocked: Workbench) -> None:
    arrival = come_in(stocked, log(), **FACTS)
    put_away(stocked)
    after_a_stop(stocked, now=LATER)
    assert waiting_for(stocked, STUDY) == (arrival,)


def test_what_landed_before_and_is_sent_again_is_told_as_the_run_it_is(stocked: Workbench) -> None:
    first = upload(stocked).landed
    put_away(stocked)
    again = upload(stocked).landed
    assert first is not None
    assert again is not None
    assert (again.run.run.id, again.again) == (first.run.run.id, True)
    assert inbox(stocked) == ()


def test_a_log_of_a_study_nobody_knows_waits_with_that_reason(stocked: Workbench) -> None:
    came = upload(stocked, study="quai")
    assert came.landed is None
    (waits,) = inbox(stocked)
    assert "it says that it is of the study 'quai', which is not on this workbench" in waits.why
    assert "did you mean 'quay'?" in waits.why


def test_a_person_files_a_log_by_hand_into_no_study_that_is_away(stocked: Workbench) -> None:
    arrival = come_in(stocked, log())
    put_away(stocked)
    with pytest.raises(StudyIsAway):
        land(stocked, arrival, filing(), by="me", now=LATER)
    assert waiting_for(stocked, STUDY) == (arrival,)


def test_a_rig_is_told_that_its_plan_rests(stocked: Workbench) -> None:
    plan = make_plan(stocked, STUDY, Terms(looks=(5,)), seed=4, now=NOW)
    first = next_for(stocked, None).facts
    assert first is not None
    build = load_study(stocked, STUDY).setups[first["setup"]].build
    put_away(stocked)
    told = next_for(stocked, build)
    assert told.facts is None
    assert (
        "is put away since 4\N{NO-BREAK SPACE}May\N{NO-BREAK SPACE}2031 09:30 UTC: made twice." in told.words
    )
    assert "until it is brought back" in told.words
    bring_back(stocked)
    assert next_for(stocked, build).facts == first
    assert first["plan"] == plan.id
