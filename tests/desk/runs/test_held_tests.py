"""What is held of tests spares judging work and changes no verdict."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs import held_tests
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.held_tests import at_hand, judge_of
from evenhand.desk.runs.said import Said
from evenhand.desk.runs.triaging import triage_study
from evenhand.records.faults import Fault
from evenhand.store.workbench import Workbench


@pytest.fixture
def study(wb: Workbench, folder: Folder, tmp_path: Path) -> str:
    return import_folder(wb, folder.write(tmp_path / "study"), now=NOW).study


def faults(wb: Workbench, study: str) -> dict[str, tuple[Fault, ...]]:
    return {each.run.id: each.faults for each in load_study(wb, study).runs}


def judged_again(wb: Workbench, study: str) -> dict[str, tuple[Fault, ...]]:
    """What a decision leaves found."""
    run = load_study(wb, study).runs[0]
    set_aside(wb, run.run.label, reason="interrupted", said=Said(now=LATER))
    return faults(wb, study)


def test_a_decision_reads_no_run_that_the_import_judged(
    wb: Workbench, study: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[bytes] = []
    monkeypatch.setattr(held_tests, "unpack", read.append)
    judged_again(wb, study)
    assert read == []


def test_with_nothing_held_a_decision_finds_the_same(wb: Workbench, study: str) -> None:
    found = judged_again(wb, study)
    judge_of(wb.path).held.clear()
    with wb.writing() as conn:
        conn.execute("DELETE FROM judged")
    triage_study(wb, study, now=LATER)
    assert faults(wb, study) == found


def test_little_is_held_by_the_way(
    wb: Workbench, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(held_tests, "BY_THE_WAY", 0)
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert judge_of(wb.path).frames == 0


def test_nobody_waits_while_others_judge(wb: Workbench, study: str) -> None:
    judge = judge_of(wb.path)
    (key, *_) = judge.held
    with judge.turn, at_hand(wb.path, study, judge.held[key].test) as held:
        assert held.runs == {}
    with at_hand(wb.path, study, judge.held[key].test) as held:
        assert held is judge.held[key]
