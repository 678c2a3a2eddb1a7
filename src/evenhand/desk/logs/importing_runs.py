"""Read the logs of a study's folder and store them, some at a time; ask once about each unknown header."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from itertools import islice
from pathlib import Path

from evenhand.desk.logs.column_questions import Ask, Question
from evenhand.desk.logs.identity import run_id
from evenhand.desk.logs.layouts import Shelf, meaning, remember, remembered
from evenhand.desk.logs.log_files import file_bytes, file_size
from evenhand.desk.logs.measuring import window_of
from evenhand.desk.logs.reading_ahead import BATCH, read_ahead
from evenhand.desk.logs.readings import Reader, Reading, Source
from evenhand.desk.logs.storing import facts_of, run_of, store
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.tuning.brought import NOTHING, TunedBrought
from evenhand.desk.tuning.heat_taking_in import take_in_heat
from evenhand.folders.study_folder import RunEntry, StudyFolder
from evenhand.records.tests import Test
from evenhand.store import metrics as metric_store
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.rows import Saved
from evenhand.store.workbench import Workbench

Watch = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A file that could not be used. The bytes of a run's are kept, a photo's are not.

    `header` marks logs with one header whose columns nobody has confirmed; `sure` says how the guess stands.
    """

    file: str
    why: str
    header: str = ""
    sure: bool = True


@dataclass(slots=True, kw_only=True)
class Tally:
    """How many runs became what, and what could not be used."""

    counts: dict[Saved, int]
    refused: list[Refused]

    def note_trouble(self, *sources: Source | None) -> None:
        """What was wrong with any of these, if anything was."""
        for source in sources:
            if source is not None and source.trouble is not None:
                file = source.kept.name if source.kept else source.trouble.where
                asked = source.question
                header = asked.layout.fingerprint if asked else ""
                sure = asked is None or asked.sure
                self.refused.append(Refused(file=file, why=str(source.trouble), header=header, sure=sure))


def import_runs(
    wb: Workbench,
    folder: Path,
    found: StudyFolder,
    *,
    now: datetime,
    ask: Ask | None,
    watch: Watch | None,
    tally: Tally,
) -> list[tuple[str, RunEntry]]:
    """Read every run and store it, some at a time; the run ids with their entries."""
    reader = reader_for(wb, folder, found)
    place = _Places(study=found.study.key)
    stored: list[tuple[str, RunEntry]] = []
    done = 0
    with closing(read_ahead(reader, found.runs)) as readings:
        while batch := list(islice(readings, BATCH)):
            answered = [answer(wb, reader, reading, now=now, ask=ask) for reading in batch]
            with wb.writing():
                for reading in answered:
                    tally.note_trouble(reading.log, reading.sensors)
                    if not reading.had:
                        continue
                    run = run_of(reading, study=place.study, run_id=place.id_of(reading))
                    tally.counts[store(wb, run, reader, reading, now=now)] += 1
                    stored.append((run.id, reading.entry))
            done += len(batch)
            if watch is not None:
                watch(done, len(found.runs), batch[-1].entry.label)
    return stored


def import_heat(
    wb: Workbench, folder: Path, found: StudyFolder, *, now: datetime, ask: Ask | None, tally: Tally
) -> TunedBrought:
    """The temperature logs of tuned parts, each with its file; what came of them."""
    if not found.heat:
        return NOTHING
    reader = reader_for(wb, folder, found)
    confirm = partial(confirmed, wb, reader, now=now, ask=ask)
    taken = list(take_in_heat(wb, reader, found.heat, confirm, now=now))
    tally.note_trouble(*(each.source for each in taken))
    return sum((each.brought for each in taken), start=NOTHING)


def reader_for(wb: Workbench, folder: Path, found: StudyFolder) -> Reader:
    """A reader that knows what this study has on record already."""
    known = run_store.runs_of(wb, found.study.key)
    measured = metric_store.metrics_of(wb, found.study.key)
    current = {r.id for r in known if r.id in measured and measured[r.id].code_version == CODE_VERSION}
    layouts = remembered(wb)
    says = {layout.fingerprint: meaning(layout) for layout in layouts}
    tests = {test.key: test for test in shelves.every(wb, Test)}
    by_run = {
        r.id: (says[r.log_layout], window_of(tests[r.test], r).sides)
        for r in known
        if r.id in current and r.log_layout
    }
    return Reader(
        bytes_of=partial(file_bytes, folder),
        size_of=partial(file_size, folder),
        layouts=Shelf(entries=found.layouts, remembered=layouts),
        stored=frozenset(mark for r in known for mark in (r.log, r.sensors) if mark),
        measured=frozenset((r.log, by_run[r.id]) for r in known if r.log and r.id in by_run),
        by_run=by_run,
        windows={test.key: test.window for test in found.tests if test.window is not None},
    )


def answer(wb: Workbench, reader: Reader, reading: Reading, *, now: datetime, ask: Ask | None) -> Reading:
    """Where columns are not confirmed, ask once for the header and read again."""
    questions = [s.question for s in (reading.log, reading.sensors) if s and s.question]
    if not questions:
        return reading
    if not all(confirmed(wb, reader, asked, now=now, ask=ask) for asked in questions):
        return reading
    return reader.read(reading.entry)


def confirmed(wb: Workbench, reader: Reader, asked: Question, *, now: datetime, ask: Ask | None) -> bool:
    """Whether somebody has confirmed these columns: just now, or for an earlier file."""
    shelf, mark = reader.layouts, (asked.layout.fingerprint, *meaning(asked.layout))
    if shelf.knows(asked.layout):
        return True
    if ask is None or mark in shelf.declined:
        return False
    if not ask(asked):
        shelf.declined.add(mark)
        return False
    shelf.learn(remember(wb, asked.layout, now=now))
    return True


class _Places:
    """Counts copies: the second run with the very same facts is a run of its own."""

    def __init__(self, *, study: str) -> None:
        self.study = study
        self._seen: dict[tuple[object, ...], int] = {}

    def id_of(self, reading: Reading) -> str:
        facts = facts_of(self.study, reading)
        copy = self._seen.get(facts, 0)
        self._seen[facts] = copy + 1
        return run_id(*facts, copy)
