"""A log is sent once, when it has stopped growing; what was there before is no news."""

from __future__ import annotations

from pathlib import Path

from evenhand.rig.watching import Folder


class Clock:
    """Seconds that pass when told to."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def test_a_file_is_handed_out_once_it_is_still(tmp_path: Path) -> None:
    clock = Clock()
    folder = Folder(tmp_path, clock=clock)
    file = tmp_path / "a.csv"
    file.write_text("1")
    assert list(folder.finished()) == []
    assert folder.growing() == 1
    clock.now = 1.0
    file.write_text("1,2")
    assert list(folder.finished()) == []
    clock.now = 2.5
    assert list(folder.finished()) == []  # it has been still for a second and a half only
    clock.now = 3.5
    assert list(folder.finished()) == [file]
    assert list(folder.finished()) == []
    assert folder.growing() == 0


def test_what_was_there_at_the_start_is_no_news(tmp_path: Path) -> None:
    (tmp_path / "old.csv").write_text("1")
    clock = Clock()
    folder = Folder(tmp_path, clock=clock)
    list(folder.finished())
    clock.now = 5.0
    assert list(folder.finished()) == []


def test_what_came_while_we_were_away_is_news(tmp_path: Path) -> None:
    known = Folder(tmp_path).known
    (tmp_path / "new.csv").write_text("1")
    clock = Clock()
    folder = Folder(tmp_path, known=known, clock=clock)
    list(folder.finished())
    clock.now = 5.0
    assert [path.name for path in folder.finished()] == ["new.csv"]


def test_empty_and_hidden_files_wait(tmp_path: Path) -> None:
    clock = Clock()
    folder = Folder(tmp_path, clock=clock)
    (tmp_path / ".part").write_text("1")
    (tmp_path / "empty.csv").touch()
    list(folder.finished())
    clock.now = 9.0
    assert list(folder.finished()) == []


def test_a_file_that_is_written_anew_is_news_again(tmp_path: Path) -> None:
    clock = Clock()
    folder = Folder(tmp_path, clock=clock)
    file = tmp_path / "a.csv"
    for text in ("first", "second run"):
        file.write_text(text)
        list(folder.finished())
        clock.now += 5.0
        assert list(folder.finished()) == [file]
