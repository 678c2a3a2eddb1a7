"""Imports that are killed, and imports that run at the same time."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder, small_folder
from validation.killed_imports import RUNS, kills

from evenhand.desk.comparison.comparing import compare, inputs_now
from evenhand.desk.logs import importing
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.records.runs import RunState
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench, open_workbench


def test_a_killed_import_loses_nothing_it_has_told_and_can_be_repeated(tmp_path: Path) -> None:
    # `kills` looks at each file, imports again, and raises where anything is missing or unsound.
    seen = list(kills(tmp_path, 6, seed=3, longest_s=0.8))
    assert len(seen) == 6
    assert all(RUNS >= moment.stored >= moment.acknowledged for moment in seen)


def test_two_imports_of_different_studies_at_the_same_time_both_succeed(tmp_path: Path) -> None:
    place = tmp_path / "new" / "bench.evenhand"
    folders = [small_folder(key, seed=at).write(tmp_path / key) for at, key in enumerate(("quay", "mole"))]
    command = [sys.executable, "-m", "evenhand", "--workbench", str(place), "import"]
    running = [
        subprocess.Popen([*command, str(folder)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for folder in folders
    ]
    told = [importer.communicate(timeout=120) for importer in running]
    assert [importer.returncode for importer in running] == [0, 0], told
    with open_workbench(place) as wb:
        for key in ("quay", "mole"):
            assert {each.state for each in load_study(wb, key).runs} == {RunState.LANDED}
            assert len(load_study(wb, key).runs) == 18
    assert check(place).sound


def test_what_a_stopped_import_left_unjudged_is_not_said_to_wait_for_a_decision(
    wb: Workbench, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    study = folder.write(tmp_path / "study")
    with monkeypatch.context() as stopped:
        stopped.setattr(importing, "triage_study", stop)
        with pytest.raises(KeyboardInterrupt):
            import_folder(wb, study, now=NOW)
    told = {c.words for f in compare(wb, "quay", now=NOW).comparison.findings for c in f.caveats}
    assert any("no run counts; 3 not judged yet: import the folder again" in words for words in told)
    assert not [words for words in told if "decision" in words]
    before = inputs_now(wb, "quay")
    import_folder(wb, study, now=LATER)
    told = {c.words for f in compare(wb, "quay", now=LATER).comparison.findings for c in f.caveats}
    assert not [words for words in told if "judged" in words]
    assert inputs_now(wb, "quay") != before


def stop(*_what: object, **_how: object) -> None:
    raise KeyboardInterrupt
