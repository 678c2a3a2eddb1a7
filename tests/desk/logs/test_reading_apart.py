"""Logs read by further processes: the very same is stored, whatever becomes of them."""

from __future__ import annotations

import gzip
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder, day_log, everything, small_folder

from evenhand.desk.child import SILENT
from evenhand.desk.cores import free_cores
from evenhand.desk.logs import reading_ahead, reading_apart
from evenhand.desk.logs.column_questions import Question
from evenhand.desk.logs.importing import ImportReport, import_folder
from evenhand.desk.logs.layouts import Shelf
from evenhand.desk.logs.reading_ahead import AHEAD, files_shared, full, task_of
from evenhand.desk.logs.reading_apart import BYTES_WORTH_ONE, FEWEST_BYTES, MOST, ReaderApart, start, worth
from evenhand.desk.logs.reading_line import ReadingLine, Task
from evenhand.desk.logs.readings import Reader
from evenhand.folders.study_folder import RunEntry
from evenhand.store.workbench import Workbench, open_workbench
from evenhand.traces.limits import MIB

ROOT = Path(__file__).parents[3]
SENSOR_COLUMNS = {
    "time_of_day": {"column": "time", "unit": "UTC"},
    "temperature": {"column": "board [°C]", "unit": "°C", "about": "board"},
    "clock": {"column": "core [MHz]", "unit": "MHz", "about": "processor"},
}


@dataclass
class Apart:
    """The further processes of a test, and the runs that they were asked for."""

    started: list[ReaderApart] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)
    lost: int = 0
    before_each: Callable[[ReaderApart], None] = lambda _one: None


@pytest.fixture
def apart(monkeypatch: pytest.MonkeyPatch) -> Iterator[Apart]:
    """Two further processes for however few logs, which are left to them from the start."""
    seen, begin, read = Apart(), ReaderApart.__init__, ReaderApart._read

    def started(one: ReaderApart) -> None:
        begin(one)
        seen.started.append(one)

    def asked(one: ReaderApart, task: Task, *rest: object) -> None:
        seen.asked.append(task.entry.label)
        seen.before_each(one)
        try:
            read(one, task, *rest)  # type: ignore[arg-type]
        except SILENT:
            seen.lost += 1
            raise

    def may(_line: ReadingLine, task: Task, *, apart: bool) -> bool:
        return task.apart if apart else not task.apart or seen.lost == 2

    monkeypatch.setattr(reading_apart, "worth", lambda *_: 2)
    monkeypatch.setattr(ReaderApart, "__init__", started)
    monkeypatch.setattr(ReaderApart, "_read", asked)
    monkeypatch.setattr(ReadingLine, "_may", may)
    yield seen
    assert all(one._child.ended for one in seen.started)


def all_kinds() -> Folder:
    """Sound logs, packed and unsound ones, one with sensors of its own, two with a day's, and scores."""
    folder = small_folder()
    names = [run["log"] for run in folder.runs if "log" in run]
    folder.files[names[0]] = gzip.compress(folder.files[names[0]], mtime=0)
    folder.files[names[1]] = b""
    folder.files[names[2]] = b"\x00\x01\x02" * 50
    folder.files[names[3]] += b"12.5,nothing\n"
    folder.files[names[4]] = folder.files[names[4]].replace(b"frame [ms]", b"other [ms]")
    folder.document["layouts"].append({"name": "day", "kind": "sensors", "columns": SENSOR_COLUMNS})
    framed = [run for run in folder.runs if "log" in run]
    for name, runs in (("own.csv", framed[5:6]), ("day.csv", framed[6:8])):
        folder.files[name] = day_log(hot_from_s=60.0)
        for run in runs:
            run |= {"sensors": name, "started_at": NOW, "duration_s": 8.0}
    return folder


def brought_in(place: Path, study: Path) -> tuple[ImportReport, object]:
    with open_workbench(place) as wb:
        report = import_folder(wb, study, now=NOW)
    return report, {table: rows for table, rows in everything(place).items() if table != "migrations"}


def test_the_very_same_is_stored_and_refused_as_by_threads(
    tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    study = all_kinds().write(tmp_path / "study")
    alone = brought_in(tmp_path / "alone.evenhand", study)
    apart: Apart = request.getfixturevalue("apart")
    told, stored = brought_in(tmp_path / "apart.evenhand", study)
    assert (told, stored) == alone
    assert len(told.refused) == 3
    assert len(apart.asked) == 10  # not the two that share a day's sensors, nor the scores


@pytest.mark.parametrize("deaths", [1, 99])
def test_what_a_process_that_was_killed_was_given_is_read_here(
    tmp_path: Path, apart: Apart, deaths: int
) -> None:
    study = all_kinds().write(tmp_path / "study")
    whole = brought_in(tmp_path / "whole.evenhand", study)
    left = iter(range(deaths))
    apart.before_each = lambda one: one.kill() if next(left, None) is not None else None
    apart.asked.clear()
    assert brought_in(tmp_path / "killed.evenhand", study) == whole
    assert len(apart.asked) == (10 if deaths == 1 else 2)


def test_one_that_never_gets_ready_is_done_without(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading_apart, "worth", lambda *_: 1)
    monkeypatch.setattr(ReaderApart, "work", lambda one, *_: one.kill())
    report, _ = brought_in(tmp_path / "a.evenhand", small_folder().write(tmp_path / "study"))
    assert (report.new, report.refused) == (18, ())


def test_columns_are_asked_for_once_and_then_known_to_the_others(
    wb: Workbench, folder: Folder, tmp_path: Path, apart: Apart, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading_ahead, "AHEAD", -3)  # one read ahead: the next is given out once it is known
    folder.document["layouts"] = []
    questions: list[Question] = []
    here: list[str | None] = []
    read = Reader.read
    monkeypatch.setattr(Reader, "read", lambda reader, entry: here.append(entry.log) or read(reader, entry))

    def ask(question: Question) -> bool:
        questions.append(question)
        return True

    report = import_folder(wb, folder.write(tmp_path / "study"), now=NOW, ask=ask)
    assert (report.new, report.refused, len(questions)) == (18, (), 1)
    assert len([log for log in here if log]) < len(apart.asked) == 12


def test_progress_is_told_in_the_order_of_the_runs(
    wb: Workbench, folder: Folder, tmp_path: Path, apart: Apart
) -> None:
    told: list[tuple[int, str]] = []
    import_folder(
        wb, folder.write(tmp_path / "study"), now=NOW, watch=lambda done, _of, what: told.append((done, what))
    )
    labels = [run["label"] for run in folder.runs]
    assert told[:3] == [(8, labels[7]), (16, labels[15]), (18, labels[17])]
    assert apart.started


def test_an_import_that_is_stopped_ends_them(
    wb: Workbench, folder: Folder, tmp_path: Path, apart: Apart
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        import_folder(wb, folder.write(tmp_path / "study"), now=NOW, watch=stop)
    assert [one._child.ended for one in apart.started] == [True, True]


IMPORTER = """
import sys, time
from pathlib import Path
from evenhand.desk.logs import reading_apart
from evenhand.desk.logs.importing import import_folder
from evenhand.store.workbench import open_workbench
from tests.desk.small_folder import NOW

def tell(*_):
    print(*(one._child._child.pid for one in started), flush=True)
    time.sleep(600)

reading_apart.worth = lambda *_: 2
begin, started = reading_apart.ReaderApart.__init__, []
reading_apart.ReaderApart.__init__ = lambda one: (begin(one), started.append(one))[0]
with open_workbench(Path(sys.argv[1])) as wb:
    import_folder(wb, Path(sys.argv[2]), now=NOW, watch=tell)
"""


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="asks the system who is alive")
def test_they_end_with_an_import_that_is_killed(folder: Folder, tmp_path: Path) -> None:
    study = folder.write(tmp_path / "study")
    command = [sys.executable, "-c", IMPORTER, str(tmp_path / "a.evenhand"), str(study)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT) as importer:
        assert importer.stdout is not None
        pids = [int(pid) for pid in importer.stdout.readline().split()]
        assert len(pids) == 2
        importer.kill()
    until = time.monotonic() + 60
    while any(map(alive, pids)) and time.monotonic() < until:
        time.sleep(0.05)
    assert not any(map(alive, pids))


def alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def tasks_of(*sizes: int, apart: bool = True) -> list[Task]:
    entry = RunEntry(test="t", setup="s", label="1", log="a.csv")
    return [Task(entry=entry, log_bytes=size, apart=apart) for size in sizes]


def reader_of(folder: Path = Path(), measured: int = 0, **sizes: int) -> Reader:
    return Reader(
        bytes_of=lambda name: (folder / name).read_bytes(),
        size_of=lambda name: sizes.get(name.partition(".")[0], 0),
        layouts=Shelf(),
        measured=frozenset((str(k), None) for k in range(measured)),  # type: ignore[misc]
    )


@pytest.mark.parametrize(
    ("cores", "sizes", "measured", "pay"),
    [
        (3, [100 * MIB] * 9, 0, 0),
        (4, [MIB] * 63, 0, 0),
        (4, [MIB] * 64, 0, 3),
        (16, [30 * MIB] * 50, 0, 0),  # threads read two at once as quickly, in less memory
        (16, [15 * MIB] * 50, 0, 4),
        (16, [MIB] * 64, 0, FEWEST_BYTES // BYTES_WORTH_ONE),
        (16, [MIB] * 1000, 0, MOST),
        (8, [MIB] * 1000, 0, 7),
        (16, [MIB] * 100, 50, 0),  # half of them are on record: what is left is read before one has started
        (16, [MIB] * 100, 200, 0),
    ],
)
def test_as_many_pay_as_there_are_cores_and_bytes(
    monkeypatch: pytest.MonkeyPatch, cores: int, sizes: list[int], measured: int, pay: int
) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: range(cores), raising=False)
    assert worth(tasks_of(*sizes), reader_of(measured=measured)) == pay
    assert worth(tasks_of(*sizes, apart=False), reader_of()) == 0


def test_cores_that_this_process_may_not_use_are_not_counted() -> None:
    assert 1 <= free_cores() <= (os.cpu_count() or 1)


def test_without_an_interpreter_all_is_read_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: range(16), raising=False)
    monkeypatch.setattr(sys, "executable", "")
    many = tasks_of(*[MIB] * 100)
    assert start(many, reader_of()) == []
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    assert worth(many, reader_of()) > 0
    assert start(many, reader_of()) == []


def test_large_logs_shared_files_and_scores_are_for_this_process() -> None:
    run = {"test": "t", "setup": "s", "label": "1"}
    entries = [
        RunEntry(log="a.csv", **run),
        RunEntry(log="b.csv", sensors="own.csv", **run),
        RunEntry(log="c.csv", sensors="day.csv", **run),
        RunEntry(log="d.csv", sensors="day.csv", **run),
        RunEntry(log="long.csv", **run),
        RunEntry(score=1.0, **run),
    ]
    reader = reader_of(a=1, b=2, own=3, long=reading_ahead.LARGE_BYTES + 1)
    tasks = [task_of(reader, entry, files_shared(entries)) for entry in entries]
    assert [task.apart for task in tasks] == [True, True, False, False, False, False]
    assert [task.log_bytes for task in tasks][:2] == [1, 5]


def test_many_processes_hold_no_more_logs_than_a_bound_says() -> None:
    large = 30 * MIB
    assert not full([], *tasks_of(900 * MIB), apart=8)  # a large one is read, by itself
    assert full(tasks_of(900 * MIB), *tasks_of(1), apart=8)
    assert not full(tasks_of(large), *tasks_of(large), apart=8)
    assert full(tasks_of(large, large), *tasks_of(large), apart=8)
    assert full(tasks_of(*[1] * (AHEAD + 16)), *tasks_of(1), apart=8)
    assert not full(tasks_of(*[1] * (AHEAD + 15)), *tasks_of(1), apart=8)
    assert not full(tasks_of(large, large), *tasks_of(large), apart=0)
    assert full(tasks_of(*[1] * AHEAD), *tasks_of(1), apart=0)


def test_this_process_leaves_logs_to_the_others_only_while_one_of_them_is_ready() -> None:
    line, (first, second, third) = ReadingLine(), tasks_of(1, 2, 3)
    own = tasks_of(4, apart=False)[0]
    for task in (first, second, third, own):
        line.put(task)
    assert line.take(apart=False) is first
    line.count_in(1)
    assert line.take(apart=False) is own
    assert line.take(apart=True) is second
    line.put_back(second)
    back = line.take(apart=False)
    assert back is not None
    assert back.done is second.done
    line.count_in(-1)
    assert line.take(apart=False) is third
    line.end()
    assert line.take(apart=True) is None
