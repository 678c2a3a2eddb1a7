"""Programs that are killed while they write, and programs that write at the same time."""

from __future__ import annotations

from pathlib import Path

from validation.killed_writes import kills, start_writing

from evenhand.store.runs import runs_of
from evenhand.store.upkeep import check
from evenhand.store.workbench import open_workbench


def test_a_killed_writer_loses_nothing_it_has_acknowledged(tmp_path: Path) -> None:
    # `kills` looks at the file each time and raises where anything is missing or damaged.
    seen = list(kills(tmp_path, 10, seed=5))
    assert len(seen) == 10
    assert all(moment.stored >= moment.acknowledged for moment in seen)
    assert any(moment.acknowledged for moment in seen)


def test_two_programs_write_one_workbench_and_both_survive(tmp_path: Path) -> None:
    path = tmp_path / "new" / "bench.evenhand"
    with start_writing(path, "a", 12) as first, start_writing(path, "b", 12) as second:
        told = [writer.communicate(timeout=120)[0].split() for writer in (first, second)]
    assert [first.returncode, second.returncode] == [0, 0]
    assert told == [["opening", *(f"{name}{number}" for number in range(12))] for name in "ab"]
    with open_workbench(path) as wb:
        assert {run.id for run in runs_of(wb, "saltmarsh")} == {f"{n}{i}" for n in "ab" for i in range(12)}
    assert check(path).sound
