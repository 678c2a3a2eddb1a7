"""Imports that are killed, and imports that run at the same time."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.desk.small_folder import small_folder
from validation.killed_imports import RUNS, kills

from evenhand.desk.on_record import load_study
from evenhand.records.runs import RunState
from evenhand.store.upkeep import check
from evenhand.store.workbench import open_workbench


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
