"""A server that is killed while rigs upload: what it acknowledged is there once, and the rest comes after."""

from __future__ import annotations

from pathlib import Path

from validation.killed_uploads import LOGS, RIGS, kills


def test_a_killed_server_loses_nothing_it_has_acknowledged(tmp_path: Path) -> None:
    # `kills` looks at the file after each kill and in the end, and raises where anything is missing or doubled.
    told = list(kills(tmp_path, 3, seed=7))
    assert told[-1].kills == 3
    assert told[-1].acknowledged >= RIGS * LOGS
