"""Further processes that read logs, so that reading uses all cores.

Threads stand in line for the interpreter: past two or three of them reading gets no quicker. A reader apart
opens files of the study's folder and never the workbench. It is told a run and answers with what is kept of
it, packed as it is stored (`child`). What becomes of one changes nothing that is stored: a run that it does
not answer for is read here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Any

from evenhand.desk.child import SILENT, Child, can_be_started, listen, say, serve, spared
from evenhand.desk.cores import free_cores
from evenhand.desk.logs.reading_line import ReadingLine, Task
from evenhand.desk.logs.readings import Reader, Reading, Source
from evenhand.folders.study_folder import RunEntry
from evenhand.records.layouts import Layout
from evenhand.traces.limits import MIB

FEWEST_CORES = 4
MOST = 8  # each holds some 40 MiB of its own, and as much that all of them share
FEWEST = 3  # threads are as quick as two
FEWEST_BYTES = 64 * MIB  # threads have read less before the first further process is ready
BYTES_WORTH_ONE = 16 * MIB
# Of logs given out and not yet stored: many processes hold no more than a few threads do.
AHEAD_BYTES = 64 * MIB
# Cores are for the others; and what a large log took goes back to the system, not into a store of one's own.
ALONE = {
    "OPENBLAS_NUM_THREADS": "1",
    "ARROW_DEFAULT_MEMORY_POOL": "system",
    "MALLOC_MMAP_THRESHOLD_": str(4 * MIB),
    "MALLOC_TRIM_THRESHOLD_": str(16 * MIB),
}

Told = tuple[RunEntry, tuple[Layout, ...]]  # a run, and the layouts that were confirmed since the last one


class ReaderApart:
    """One further process that reads runs, one after the other. Raises OSError where none can be started."""

    def __init__(self) -> None:
        self._child = Child("evenhand.desk.logs.reading_apart", env=ALONE)

    def work(self, line: ReadingLine, reader: Reader) -> None:
        """Have it read what the line gives, until the line or the process ends."""
        with suppress(*SILENT):
            known = len(reader.layouts.remembered)
            self._child.ask(lent(reader))
            line.count_in(1)
            try:
                while (task := line.take(apart=True)) is not None:
                    layouts = reader.layouts.remembered
                    self._read(task, layouts[known:], line)
                    known = len(layouts)
            finally:
                line.count_in(-1)

    def _read(self, task: Task, learned: tuple[Layout, ...], line: ReadingLine) -> None:
        try:
            found: Reading = self._child.ask((task.entry, learned))
        except BaseException:
            line.put_back(task)
            raise
        task.done.set_result(found)

    def kill(self) -> None:
        """End it, whatever it is at."""
        self._child.kill()

    def bury(self) -> None:
        """Let go of it once it was killed and nobody waits for its answer any more."""
        self._child.bury()


def start(tasks: Sequence[Task], reader: Reader) -> list[ReaderApart]:
    """As many further processes as pay for these runs; none where the logs are few or cannot be read so."""
    found: list[ReaderApart] = []
    with suppress(OSError):  # no room for another process: the rest is read by those there are, or here
        for _ in range(worth(tasks, reader)):
            found.append(ReaderApart())
    return found


def worth(tasks: Sequence[Task], reader: Reader) -> int:
    """How many further processes pay, by cores and by the bytes that are left to be read."""
    cores = free_cores()
    if cores < FEWEST_CORES or not can_be_started():
        return 0
    new = max(0.0, 1 - len(reader.measured) / max(1, len(tasks)))  # what is on record is not parsed again
    sizes = [task.log_bytes for task in tasks if task.apart]
    if new * sum(sizes) < FEWEST_BYTES:
        return 0
    at_once = int(AHEAD_BYTES * len(sizes) // sum(sizes))  # logs of the usual size that may be read together
    count = min(MOST, cores - 1, int(new * sum(sizes) // BYTES_WORTH_ONE), at_once)
    return count if count >= FEWEST else 0


def lent(reader: Reader) -> Mapping[str, Any]:
    """What a reader in another process is made of: all but what this one has found out on its way."""
    return {
        "bytes_of": reader.bytes_of,
        "size_of": reader.size_of,
        "layouts": replace(reader.layouts, declined=set()),
        "stored": reader.stored,
        "measured": reader.measured,
        "by_run": reader.by_run,
        "windows": reader.windows,
    }


def answered(reader: Reader, told: Told) -> Reading:
    """In the further process: what one run's files give, less what only reading them needs."""
    entry, learned = told
    for layout in learned:
        reader.layouts.learn(layout)
    found = reader.read(entry)
    return replace(found, log=_kept_of(found.log), sensors=_kept_of(found.sensors))


def _kept_of(source: Source | None) -> Source | None:
    return source and replace(source, seen=None)


def main() -> None:
    """Be a reader apart: hear what the import knows, then read run after run until there is none."""
    spared()
    with suppress(*SILENT):  # who asked is no more
        reader = Reader(**listen())
        say("ready")
        serve(lambda told: answered(reader, told))


if __name__ == "__main__":
    main()
