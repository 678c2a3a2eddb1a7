"""A server that is killed while rigs upload: what it acknowledged is there once, and the rest comes after."""

from __future__ import annotations

from pathlib import Path

from validation.killed_uploads import RIGS, kills


def test_a_killed_server_loses_nothing_it_has_acknowledged(tmp_path: Path) -> None:
    # `kills` looks at the file after each kill and in the end, and raises where a run is missing or doubled.
    told = list(kills(tmp_path, 2, seed=7, logs=2))
    assert told[-1].kills == 2
    assert told[-1].acknowledged >= RIGS * 2
