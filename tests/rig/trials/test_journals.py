"""A journal's lines are on the disk one by one, and half a line spoils no other."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from evenhand.rig.trials import journal
from evenhand.rig.trials.journal import RESERVE, Journal, read, reserve


def written(folder: Path) -> Path:
    kept = Journal(folder, "one")
    kept.write({"begin": {"load": "integers"}})
    kept.write({"beat": {"held_s": 1.0}})
    kept.write({"beat": {"held_s": 2.0}})
    kept.close()
    return kept.path


def test_it_says_what_was_begun_and_the_last_beat(tmp_path: Path) -> None:
    told = read(written(tmp_path))
    assert (told.begin, told.beat, told.end) == ({"load": "integers"}, {"held_s": 2.0}, {})


def test_cut_off_at_any_byte_it_says_the_last_that_was_whole(tmp_path: Path) -> None:
    place = written(tmp_path)
    data = place.read_bytes()
    first = data.index(b'{"held_s": 1.0}') + len(b'{"held_s": 1.0}}')
    second = data.index(b'{"held_s": 2.0}') + len(b'{"held_s": 2.0}}')
    for length in range(first, len(data) + 1):
        place.write_bytes(data[:length])
        assert read(place).beat == {"held_s": 2.0 if length >= second else 1.0}


def test_what_comes_after_half_a_line_is_read(tmp_path: Path) -> None:
    """A program that was killed in the middle of a line is started again, and writes how it ended."""
    place = written(tmp_path)
    with place.open("ab") as file:
        file.write(b'\n{"beat": {"held_s": 3.' + bytes(40))
    kept = Journal(tmp_path, "one")
    kept.write({"end": {"outcome": "crash"}})
    kept.close()
    assert read(place).end == {"outcome": "crash"}
    assert read(place).beat == {"held_s": 2.0}


def test_other_lines_count_for_nothing(tmp_path: Path) -> None:
    place = tmp_path / "x.trial"
    place.write_bytes(b'[1]\n\xff\xfe\nnull\n{"beat": 3}\n{"begin": {"a": 1}}\n')
    assert read(place).begin == {"a": 1}
    assert read(place).beat == {}


def test_each_line_is_brought_to_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    brought: list[int] = []
    monkeypatch.setattr(journal.os, "fsync", brought.append)
    kept = Journal(tmp_path, "one")
    before = len(brought)
    kept.write({"beat": {}})
    kept.write({"beat": {}})
    kept.close()
    assert len(brought) - before == 2


def test_room_is_kept_for_how_it_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    reserve(tmp_path)
    kept = Journal(tmp_path, "one")
    kept.write({"begin": {}})
    real = os.write

    def full(handle: int, data: bytes) -> int:
        if (tmp_path / RESERVE).exists():
            raise OSError(28, "No space left on device")
        return real(handle, data)

    monkeypatch.setattr(journal.os, "write", full)
    with pytest.raises(OSError, match="No space"):
        kept.write({"beat": {}})
    kept.write_last({"end": {"outcome": "stopped"}})
    kept.close()
    assert read(kept.path).end == {"outcome": "stopped"}
