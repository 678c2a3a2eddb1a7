"""A study read again after a change is the study as it lies there, whatever was kept from before."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, small_folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study, read_study
from evenhand.desk.runs import deciding
from evenhand.desk.runs.said import Said
from evenhand.desk.runs.triaging import triage_study
from evenhand.store.workbench import Workbench


def run_called(wb: Workbench, label: str) -> str:
    return next(each.run.id for each in load_study(wb, "quay").runs if each.run.label == label)


def set_aside(wb: Workbench, _: Path) -> None:
    run = run_called(wb, "plover tramlines 2")
    deciding.set_aside(wb, run, reason="interrupted", said=Said(note="a download", now=LATER))


def correct_a_score(wb: Workbench, folder: Path) -> None:
    changed = small_folder()
    changed.run("wren render 1")["score"] = 11.5
    import_folder(wb, changed.write(folder / "again"), now=LATER)


def name_fewer(wb: Workbench, folder: Path) -> None:
    import_folder(wb, small_folder().without("wren causeway 1").write(folder / "again"), now=LATER)


def judge_again(wb: Workbench, _: Path) -> None:
    triage_study(wb, "quay", now=LATER)


@pytest.mark.parametrize("change", [set_aside, correct_a_score, name_fewer, judge_again])
def test_what_was_kept_and_what_is_read_anew_are_the_same(
    stocked: Workbench, tmp_path: Path, change: Callable[[Workbench, Path], None]
) -> None:
    load_study(stocked, "quay")
    change(stocked, tmp_path)
    assert load_study(stocked, "quay") == read_study(stocked, "quay")


def test_runs_that_nobody_touched_are_the_very_same(stocked: Workbench, tmp_path: Path) -> None:
    before = {each.run.id: each for each in load_study(stocked, "quay").runs}
    correct_a_score(stocked, tmp_path)
    after = {each.run.id: each for each in load_study(stocked, "quay").runs}
    other = run_called(stocked, "wren causeway 1")
    assert after[other] is before[other]


def test_without_a_change_it_is_not_read_at_all(stocked: Workbench) -> None:
    assert load_study(stocked, "quay") is load_study(stocked, "quay")
