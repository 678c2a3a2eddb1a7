"""Runs read ahead of being stored, in order: by threads, and by further processes where these pay."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Generator, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Lock

from evenhand.desk.cores import free_cores
from evenhand.desk.logs.reading_apart import AHEAD_BYTES, ReaderApart, start
from evenhand.desk.logs.reading_line import ReadingLine, Task
from evenhand.desk.logs.readings import Reader, Reading
from evenhand.folders.study_folder import RunEntry
from evenhand.traces.limits import MIB

# Reading is parsing and compressing, which leave the interpreter lock; past four the rest stands in line.
READERS = max(2, min(4, free_cores()))
BATCH = 8  # runs written in one transaction: a commit waits for the disk
LARGE_BYTES = 64 * MIB  # an hour at 200 frames a second and 90 bytes a row; common logs are a tenth of it
AHEAD = BATCH + READERS  # logs read but not yet written: nobody waits for a commit, and memory stays bounded


def read_ahead(reader: Reader, entries: Sequence[RunEntry]) -> Generator[Reading]:
    """Readings in the order of the entries, a few of them made ahead. Close it to end all reading."""
    shared = files_shared(entries)
    tasks = [task_of(reader, entry, shared) for entry in entries]
    apart = start(tasks, reader)
    with reading(reader, apart) as line:
        waiting: deque[Task] = deque()
        for task in tasks:
            while full(waiting, task, apart=len(apart)):
                yield waiting.popleft().done.result()
            line.put(task)
            waiting.append(task)
        while waiting:
            yield waiting.popleft().done.result()


@contextmanager
def reading(reader: Reader, apart: Sequence[ReaderApart]) -> Iterator[ReadingLine]:
    """A line whose tasks are read by threads and by these further processes, all ended behind the block."""
    line, turn = ReadingLine(), Lock()
    pool = ThreadPoolExecutor(READERS + len(apart))
    try:
        for one in apart:
            pool.submit(one.work, line, reader)
        for _ in range(READERS):
            pool.submit(read_here, line, reader, turn)
        yield line
    finally:
        line.end()
        for one in apart:
            one.kill()
        pool.shutdown()
        for one in apart:
            one.bury()


def full(waiting: Sequence[Task], task: Task, *, apart: int) -> bool:
    """Whether a task has to wait until the first of those that were given out is stored."""
    if not apart:
        return len(waiting) >= AHEAD
    log_bytes = sum(each.log_bytes for each in waiting) + task.log_bytes
    return bool(waiting) and (len(waiting) >= AHEAD + 2 * apart or log_bytes > AHEAD_BYTES)


def read_here(line: ReadingLine, reader: Reader, turn: Lock) -> None:
    """Read in this process what the line gives, until it ends."""
    while (task := line.take(apart=False)) is not None:
        entry = task.entry
        task.do(lambda entry=entry: read_in_turn(reader, entry, turn))  # type: ignore[misc]


def read_in_turn(reader: Reader, entry: RunEntry, turn: Lock) -> Reading:
    """Read a run; large logs one after the other, so that memory holds one of them and not four."""
    if entry.log is None or reader.size_of(entry.log) <= LARGE_BYTES:
        return reader.read(entry)
    with turn:
        return reader.read(entry)


def files_shared(entries: Sequence[RunEntry]) -> frozenset[str]:
    """Files that several runs name: they are read once, here."""
    named = Counter(name for entry in entries for name in (entry.log, entry.sensors) if name)
    return frozenset(name for name, runs in named.items() if runs > 1)


def task_of(reader: Reader, entry: RunEntry, shared: frozenset[str]) -> Task:
    """A run's place in the line. Scores, shared files and large logs are for this process."""
    files = [name for name in (entry.log, entry.sensors) if name]
    log_bytes = sum(map(reader.size_of, files))
    own = entry.log is not None and shared.isdisjoint(files)
    return Task(entry=entry, log_bytes=log_bytes, apart=own and log_bytes <= LARGE_BYTES)
