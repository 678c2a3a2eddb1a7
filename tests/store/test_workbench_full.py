"""A workbench on a disk that takes no more, and a log too large for it: nothing stored is lost."""

from __future__ import annotations

import resource
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.store.small_study import PARTS, Landing, land, lay_ground, some_log

from evenhand.errors import StoreProblem
from evenhand.store.workbench import Workbench, open_workbench

A, B = PARTS


def test_a_full_disk_loses_nothing_that_was_stored(wb: Workbench) -> None:
    land(wb, Landing("r1", some_log("r1")))
    with wb.reading() as conn:
        pages = conn.execute("PRAGMA page_count").fetchone()[0]
    wb._writer.execute(f"PRAGMA max_page_count = {pages + 2}")
    with pytest.raises(StoreProblem, match="the disk is full") as told:
        land(wb, Landing("r2", some_log("r2", lines=20_000)))
    assert told.value.where == str(wb.path)
    wb._writer.execute("PRAGMA max_page_count = 1000000")
    assert stored_runs(wb) == ["r1"]
    land(wb, Landing("r2", some_log("r2", lines=20_000)))
    assert stored_runs(wb) == ["r1", "r2"]


def test_a_disk_that_refuses_more_bytes_loses_nothing_that_was_stored(wb: Workbench) -> None:
    land(wb, Landing("r1", some_log("r1")))
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, limits[1]))
    try:
        with pytest.raises(StoreProblem, match="the disk"):
            land(wb, Landing("r2", some_log("r2", lines=300_000)))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert stored_runs(wb) == ["r1"]
    land(wb, Landing("r3", some_log("r3")))
    assert stored_runs(wb) == ["r1", "r3"]


def test_a_log_larger_than_sqlite_can_hold_is_told_in_words(wb: Workbench) -> None:
    wb._writer.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, 100_000)
    with pytest.raises(StoreProblem, match="larger than a workbench can hold"):
        land(wb, Landing("big", some_log("big", lines=100_000)))
    land(wb, Landing("r1", some_log("r1")))
    assert stored_runs(wb) == ["r1"]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real disk of 3 MiB, where the system lets us have one."""
    place = tmp_path / "small"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", str(place)]
    if shutil.which("mount") is None or subprocess.run(mount, check=False, capture_output=True).returncode:
        pytest.skip("this system lets nobody mount a small disk here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_on_a_full_disk_what_was_stored_stays_and_the_step_can_be_repeated(small_disk: Path) -> None:
    ballast = small_disk / "ballast"
    with open_workbench(small_disk / "bench.evenhand") as wb:
        lay_ground(wb)
        land(wb, Landing("r1", some_log("r1")))
        free = shutil.disk_usage(small_disk).free
        ballast.write_bytes(bytes(free - 20_000))
        with pytest.raises(StoreProblem, match="the disk"):
            land(wb, Landing("r2", some_log("r2", lines=20_000)))
        assert stored_runs(wb) == ["r1"]
    ballast.unlink()
    with open_workbench(small_disk / "bench.evenhand") as wb:
        assert stored_runs(wb) == ["r1"]
        land(wb, Landing("r2", some_log("r2", lines=20_000)))
        assert stored_runs(wb) == ["r1", "r2"]


def stored_runs(wb: Workbench) -> list[str]:
    with wb.reading() as conn:
        tables = [
            {row[0] for row in conn.execute(f"SELECT {key} FROM {table}")}
            for table, key in (("runs", "id"), ("traces", "run"), ("measured", "run"), ("triaged", "run"))
        ]
    assert all(table == tables[0] for table in tables)
    return sorted(tables[0])
