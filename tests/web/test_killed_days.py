"""A bench day whose server and rigs are killed: what a rig was told of is there once, what it kept comes."""

from __future__ import annotations

from pathlib import Path

from validation.killed_days import Told, kills


def test_a_killed_bench_day_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    # `kills` looks at the file after each kill and in the end, and raises where a run is missing or doubled.
    told = Told()
    for _ in kills(tmp_path, 2, seed=3, told=told):
        pass
    assert (told.server_kills, told.rig_kills) == (1, 1)
    assert told.acknowledged > 0
