"""backup, check: a copy of a workbench, and whether it is whole."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.cli.conftest import Command
from tests.store.earlier import brought_back


def test_backup_and_check_of_the_copy(stocked: Command, tmp_path: Path) -> None:
    answer = stocked("backup", tmp_path / "copy.evenhand", "--json").json
    assert answer["bytes"] == (tmp_path / "copy.evenhand").stat().st_size
    checked = stocked("--workbench", tmp_path / "copy.evenhand", "check", "--json").json
    assert (checked["sound"], checked["originals"], checked["traces"]) == (True, 12, 12)
    assert "a whole workbench" in stocked("backup", tmp_path / "second.evenhand").out
    again = stocked("backup", tmp_path / "copy.evenhand")
    assert again.code == 2
    assert "is there already" in again.err


def test_check_finds_a_sound_workbench_sound(stocked: Command) -> None:
    said = stocked("check")
    assert said.code == 0
    assert "sound" in said.out
    assert "12 originals and 12 traces" in said.out


def test_check_of_a_workbench_of_an_earlier_version_is_no_alarm(stocked: Command, place: Path) -> None:
    with closing(sqlite3.connect(place, isolation_level=None)) as conn:
        conn.row_factory = sqlite3.Row
        brought_back(conn, place.parent, step=2)
    said = stocked("check")
    assert said.code == 0
    assert "An earlier schema" in said.out
    assert stocked("studies").code == 0
    assert "An earlier schema" not in stocked("check").out


def test_check_on_a_damaged_workbench_says_it_in_words(stocked: Command, place: Path) -> None:
    content = bytearray(place.read_bytes())
    page = content.index(b"causeway") // 4096 * 4096  # one that holds something, wherever tables lie
    content[page : page + 4096] = bytes(4096)
    place.write_bytes(bytes(content))
    said = stocked("check")
    assert said.code == 1
    assert "NOT SOUND" in said.out
    answer = stocked("check", "--json")
    assert (answer.code, answer.json["sound"]) == (1, False)
    assert answer.json["problems"]


def test_a_file_that_is_no_workbench_is_left_alone(stocked: Command, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear reader, this is a letter")
    for verb in ("check", "studies"):
        said = stocked("--workbench", tmp_path / "letter.txt", verb)
        assert said.code == 2
        assert "this is not a workbench" in said.err
    assert (tmp_path / "letter.txt").read_text() == "dear reader, this is a letter"
