"""Adding one run to a workbench of a thousand touches that run and its study, and nothing else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import LATER, NOW, Folder, everything, small_folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.store.upkeep import check
from evenhand.store.workbench import open_workbench

STUDIES = 10
RUNS_EACH = 100


def scored(key: str, runs: int) -> Folder:
    """A study of scores alone, which are quick to bring in."""
    folder = small_folder(key)
    folder.files.clear()
    folder.document["runs"] = [
        {
            "test": "render",
            "setup": ("wren", "plover")[at % 2],
            "label": f"{key} {at}",
            "score": 10.0 + (at * 7919 % 97) / 500 + at % 2,
            "boot": f"b{at // 10}",
            "order": at + 1,
        }
        for at in range(runs)
    ]
    return folder


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbench of a thousand runs in ten studies."""
    place = tmp_path_factory.mktemp("thousand")
    with open_workbench(place / "bench.evenhand") as wb:
        for number in range(STUDIES):
            folder = scored(f"study-{number}", RUNS_EACH).write(place / f"study-{number}")
            import_folder(wb, folder, now=NOW)
    return place / "bench.evenhand"


TOUCHED = {
    *("runs", "study_runs", "measured", "metrics", "triaged", "faults", "judged", "lessons"),
    *("history", "seals"),
}


def added_row(before: Any, after: Any, table: str) -> list[Any]:
    return [row for row in after[table] if row not in before[table]]


def test_one_more_run_touches_only_its_study(full: Path, tmp_path: Path) -> None:
    before = everything(full)
    assert len(before["runs"]) == STUDIES * RUNS_EACH
    with open_workbench(full) as wb:
        report = import_folder(wb, scored("study-4", RUNS_EACH + 1).write(tmp_path / "study"), now=LATER)
        own = {each.run.id for each in load_study(wb, "study-4").runs}
    after = everything(full)
    assert (report.new, report.changed, report.same) == (1, 0, RUNS_EACH)
    for table in ("runs", "study_runs", "measured", "metrics"):
        assert len(added_row(before, after, table)) == 1, table
    for table in ("triaged", "faults"):
        runs_touched = {row[0] for row in set(before[table]) ^ set(after[table])}
        assert runs_touched <= own, table
    for table in ("judged", "lessons"):
        assert {row[0] for row in set(before[table]) ^ set(after[table])} == {"study-4"}, table
    sealed = {row[1].split()[0] for row in set(before["seals"]) ^ set(after["seals"]) if row[0] != "history"}
    assert sealed <= {*own, "study-4"}
    changed = {name for name in after if before[name] != after[name]}
    assert changed <= TOUCHED
    assert all(row in after["runs"] for row in before["runs"])


def test_the_whole_workbench_stays_sound(full: Path) -> None:
    assert check(full).sound
