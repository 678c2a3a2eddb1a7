"""What was read lately is read again only after a change, whoever made it."""

from __future__ import annotations

import sqlite3
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.store.small_study import NOW

from evenhand.records.builds import Part
from evenhand.store import shelves
from evenhand.store.changes import ChangeMeter
from evenhand.store.connecting import connect
from evenhand.store.workbench import Workbench, open_to_read, open_workbench

PART = Part(key="osk-9", kind="graphics", name="Osk 9")


class Asked:
    """Counts how often it is asked to do the work."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self) -> int:
        self.times += 1
        return self.times


def test_nothing_is_read_twice_while_nobody_changes_anything(wb: Workbench) -> None:
    asked = Asked()
    assert [wb.lately("parts", asked) for _ in range(3)] == [1, 1, 1]


def test_each_question_has_its_own_answer(wb: Workbench) -> None:
    assert [wb.lately("one", lambda: "a"), wb.lately("two", lambda: "b")] == ["a", "b"]


def test_after_a_change_it_is_read_anew(wb: Workbench) -> None:
    asked = Asked()
    wb.lately("parts", asked)
    shelves.save(wb, PART, now=NOW)
    assert wb.lately("parts", asked) == 2


def test_it_is_told_whether_an_answer_is_at_hand(wb: Workbench) -> None:
    assert not wb.has_lately("parts")
    wb.lately("parts", Asked())
    assert wb.has_lately("parts")
    shelves.save(wb, PART, now=NOW)
    assert not wb.has_lately("parts")


def test_a_change_by_another_program_counts_as_well(wb: Workbench) -> None:
    asked = Asked()
    wb.lately("parts", asked)
    with open_workbench(wb.path) as other:
        shelves.save(other, PART, now=NOW)
    assert wb.lately("parts", asked) == 2


def test_whoever_writes_sees_what_was_just_written(wb: Workbench) -> None:
    wb.lately("parts", lambda: shelves.every(wb, Part))
    with wb.writing():
        shelves.save(wb, PART, now=NOW)
        assert PART in wb.lately("parts", lambda: shelves.every(wb, Part))


def test_what_was_undone_is_not_remembered(wb: Workbench) -> None:
    with pytest.raises(RuntimeError):
        save_and_fail(wb)
    assert PART not in wb.lately("parts", lambda: shelves.every(wb, Part))


def save_and_fail(wb: Workbench) -> None:
    with wb.writing():
        shelves.save(wb, PART, now=NOW)
        wb.lately("parts", lambda: shelves.every(wb, Part))
        raise RuntimeError


def test_work_that_fails_is_tried_again(wb: Workbench) -> None:
    def fail() -> int:
        raise RuntimeError

    with pytest.raises(RuntimeError):
        wb.lately("parts", fail)
    assert wb.lately("parts", lambda: 7) == 7


def test_a_closed_file_is_let_go_of(tmp_path: Path) -> None:
    path = tmp_path / "bench.evenhand"
    with open_workbench(path) as wb:
        wb.lately("parts", lambda: 1)
    assert not path.with_name("bench.evenhand-wal").exists()
    with open_to_read(path) as again:
        assert again.lately("parts", lambda: 2) == 2


def test_work_may_go_on_from_what_it_gave_before_the_change(wb: Workbench) -> None:
    given: list[int | None] = []

    def work(before: int | None) -> int:
        given.append(before)
        return (before or 0) + 1

    assert [wb.lately_again("count", work), wb.lately_again("count", work)] == [1, 1]
    shelves.save(wb, PART, now=NOW)
    assert wb.lately_again("count", work) == 2
    assert given == [None, 1]


def test_slow_work_keeps_nobody_from_another_answer(wb: Workbench) -> None:
    going, end = threading.Event(), threading.Event()

    def slow() -> str:
        going.set()
        assert end.wait(10)
        return "slow"

    thread = threading.Thread(target=lambda: wb.lately("slow", slow))
    thread.start()
    assert going.wait(10)
    assert wb.lately("quick", lambda: "quick") == "quick"
    end.set()
    thread.join(10)
    assert wb.lately("slow", lambda: "again") == "slow"


def test_a_meter_that_was_closed_while_somebody_still_asks_says_what_it_said(wb: Workbench) -> None:
    meter = ChangeMeter(wb.path)
    shelves.save(wb, PART, now=NOW)
    said = meter.read()
    meter.close()
    assert meter.read() == said


class Kept:
    """A connection that is kept waiting too long whenever told so."""

    def __init__(self, conn: sqlite3.Connection) -> None:
        self._conn, self.waiting = conn, False

    def execute(self, asked: str) -> sqlite3.Cursor:
        if self.waiting:
            raise sqlite3.OperationalError("database is locked")
        return self._conn.execute(asked)

    def close(self) -> None:
        self._conn.close()


def test_a_file_that_cannot_be_read_just_now_ends_no_watch(
    wb: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = Kept(connect(wb.path, mode="ro"))
    monkeypatch.setattr("evenhand.store.changes.connect", lambda *_args, **_more: kept)
    meter = ChangeMeter(wb.path)
    before = meter.read()
    kept.waiting = True
    shelves.save(wb, PART, now=NOW)
    assert meter.read() == before
    kept.waiting = False
    assert meter.read() != before, "what was stored meanwhile is told afterwards"
    meter.close()


def test_no_count_is_one_of_an_earlier_opening(wb: Workbench) -> None:
    counts = [wb.changes()]
    for _ in range(3):
        with open_workbench(wb.path) as other:
            counts.append(other.changes())
    assert counts == sorted(set(counts))


def test_on_another_day_it_is_read_again_though_nobody_changed_anything(wb: Workbench) -> None:
    read: list[int] = []
    now = [datetime(2031, 5, 3, 9, 59, tzinfo=UTC)]
    wb.clock = lambda: now[0]

    def work() -> int:
        read.append(1)
        return len(read)

    assert (wb.lately("key", work), wb.lately("key", work), wb.has_lately("key")) == (1, 1, True)
    now[0] += timedelta(minutes=1)
    assert not wb.has_lately("key")
    assert wb.lately("key", work) == 2
    now[0] += timedelta(hours=23)
    assert wb.lately("key", work) == 2
