"""A test that is judged again and again as runs land is judged as if all had come at once."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.desk.landing_cases import STUDY, landed, log
from tests.desk.small_folder import LATER

from evenhand.desk.bench.landed_tests import judge_landed
from evenhand.desk.on_record import load_study
from evenhand.desk.runs import held_tests
from evenhand.desk.runs.held_tests import judge_of
from evenhand.desk.runs.triaging import around_study, digest_of, triage_study
from evenhand.records.builds import Setup
from evenhand.records.faults import Fault
from evenhand.records.runs import Decision, Reason, RunState
from evenhand.records.tests import Test
from evenhand.store import decisions, shelves
from evenhand.store.judged import judged_on
from evenhand.store.workbench import Workbench


def faults(wb: Workbench) -> dict[str, tuple[Fault, ...]]:
    return {each.run.id: each.faults for each in load_study(wb, STUDY).cell("causeway", "wren")}


def judged_anew(wb: Workbench) -> dict[str, tuple[Fault, ...]]:
    """What is found where nothing is held and nothing was judged before."""
    with wb.writing() as conn:
        conn.execute("DELETE FROM judged")
    judge_of(wb.path).held.clear()
    triage_study(wb, STUDY, now=LATER)
    return faults(wb)


def test_one_by_one_and_at_once_find_the_same(stocked: Workbench) -> None:
    for seed, fps in enumerate((100.0, 60.0, 101.0, 99.5)):
        landed(stocked, log(seed, fps=fps), name=f"{seed}.csv", boot=f"b{seed}", order=50 + seed)
    found = faults(stocked)
    assert any(found.values())
    assert judged_anew(stocked) == found


def test_a_decision_in_between_counts(stocked: Workbench) -> None:
    odd = landed(stocked, log(1, fps=60.0)).run.run.id
    aside = Decision(run=odd, at=LATER, state=RunState.SET_ASIDE, reason=Reason.RIG_FAULT)
    decisions.add_decision(stocked, aside)
    landed(stocked, log(2), name="2.csv")
    found = faults(stocked)
    assert judged_anew(stocked) == found


def test_a_changed_test_lets_go_of_what_was_held(stocked: Workbench) -> None:
    landed(stocked, log(1))
    held = judge_of(stocked.path).held[STUDY, "causeway"]
    test = shelves.one(stocked, Test, "causeway")
    shelves.save(stocked, replace(test, locked_fps=100.0), now=LATER)
    judge_landed(stocked, STUDY, "causeway", now=LATER)
    assert judge_of(stocked.path).held[STUDY, "causeway"] is not held
    found = faults(stocked)
    assert judged_anew(stocked) == found


def test_only_new_runs_are_read(stocked: Workbench) -> None:
    landed(stocked, log(1))
    held = judge_of(stocked.path).held[STUDY, "causeway"]
    before = {run: candidate for run, (_, candidate) in held.runs.items()}
    landed(stocked, log(2), name="2.csv")
    after = {run: candidate for run, (_, candidate) in held.runs.items()}
    assert {run: after[run] for run in before} == before
    assert len(after) == len(before) + 1


def test_what_is_held_gives_the_digest_that_nothing_held_gives(stocked: Workbench) -> None:
    odd = landed(stocked, log(1, fps=60.0)).run.run.id
    landed(stocked, log(2), name="2.csv")
    aside = Decision(run=odd, at=LATER, state=RunState.SET_ASIDE, reason=Reason.RIG_FAULT)
    decisions.add_decision(stocked, aside)
    landed(stocked, log(3), name="3.csv")
    around = around_study(stocked, STUDY)
    assert judged_on(stocked, STUDY)["causeway"] == digest_of(around, around.record.tests["causeway"])


def test_other_stamps_of_a_setup_are_another_digest(stocked: Workbench) -> None:
    landed(stocked, log(1))
    before = judged_on(stocked, STUDY)["causeway"]
    setup = shelves.one(stocked, Setup, "wren")
    shelves.save(stocked, replace(setup, stamps={**setup.stamps, "driver": "other"}), now=LATER)
    judge_landed(stocked, STUDY, "causeway", now=LATER)
    around = around_study(stocked, STUDY)
    after = judged_on(stocked, STUDY)["causeway"]
    assert before != after == digest_of(around, around.record.tests["causeway"])


def test_too_many_frames_are_not_held(stocked: Workbench, monkeypatch: pytest.MonkeyPatch) -> None:
    landed(stocked, log(1))
    (held,) = judge_of(stocked.path).held.values()
    monkeypatch.setattr(held_tests, "MOST_FRAMES", held.frames)
    landed(stocked, log(1))
    landed(stocked, log(2, fps=90.0), name="t.csv", test="tramlines")
    assert set(judge_of(stocked.path).held) == {(STUDY, "tramlines")}
