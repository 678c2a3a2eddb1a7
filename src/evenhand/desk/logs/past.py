"""A study's past in its folder: what lies beside the study file, taken over by import, once."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, TypeAlias

from evenhand.errors import BadRecord, NotFound
from evenhand.folders.history_file import (
    ARRIVAL,
    HISTORY_FILE,
    RESULTS_FILE,
    PastChange,
    PastResult,
    read_changes,
    read_results,
)
from evenhand.folders.study_folder import PastLines, StudyFolder, files_named
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.runs import Run
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import results, shelves
from evenhand.store import runs as run_store
from evenhand.store.history import history_of, note_past
from evenhand.store.rows import plain
from evenhand.store.workbench import Workbench

Shelved: TypeAlias = Part | Build | Setup | Test | Study

LONGEST_LINE = 256 * 2**20  # a frozen result of a thousand tests is some ten megabytes
TABLES: Mapping[str, str] = {
    "part": "parts",
    "build": "builds",
    "setup": "setups",
    "test": "tests",
    "study": "studies",
    "run": "runs",
    ARRIVAL: "study_runs",
}
NOUNS = {table: noun for noun, table in TABLES.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """The past that lies in a folder beside its study file; both files may be missing."""

    folder: Path
    found: StudyFolder

    def changes(self) -> Iterator[PastChange]:
        """The changes of the study, in the order in which they happened. Raises BadRecord."""
        for change in read_changes(self._lines(HISTORY_FILE), where=str(self.folder / HISTORY_FILE)):
            if change.record == "study" and change.key != self.found.study.key:
                raise BadRecord(
                    f"the history is of the study '{change.key}' as well",
                    where=str(self.folder / HISTORY_FILE),
                    todo=f"leave only what became of '{self.found.study.key}'",
                )
            yield change

    def results(self) -> Iterator[PastResult]:
        """The frozen results of the study, the first first. Raises BadRecord."""
        where = str(self.folder / RESULTS_FILE)
        return read_results(self._lines(RESULTS_FILE), study=self.found.study.key, where=where)

    def check(self) -> None:
        """Raises BadRecord where a line cannot be used."""
        for lines in (self.changes(), self.results()):
            for _ in lines:
                pass

    def lines(self) -> PastLines:
        """How many lines both files have. Raises BadRecord where they cannot be read."""
        changes, frozen = (sum(1 for _ in self._lines(name)) for name in (HISTORY_FILE, RESULTS_FILE))
        return PastLines(changes=changes, results=frozen)

    def _lines(self, name: str) -> Iterator[tuple[int, str]]:
        path = self.folder / name
        if name in files_named(self.found) or not path.is_file():  # a log may go by this name
            return
        try:
            with path.open(encoding="utf-8") as file:
                yield from ((at, line) for at, line in enumerate(_short(file, path), start=1) if line.strip())
        except (OSError, UnicodeDecodeError) as error:
            raise BadRecord(
                f"cannot be read ({error})", where=str(path), todo="copy the file again"
            ) from error


def _short(file: Any, path: Path) -> Iterator[str]:
    while line := file.readline(LONGEST_LINE):
        if len(line) == LONGEST_LINE:
            raise BadRecord("a line is too long", where=str(path), todo="take the file as export wrote it")
        yield line


def take_over_changes(wb: Workbench, past: Past, *, elsewhere: Iterable[tuple[str, str]]) -> None:
    """What happened to the study before it came here, each change once and under its own date.

    A change is made where the record stands as it stood before it, or is not there yet; what was changed here
    in another way goes on as it is. `elsewhere` are the records, by kind and key, that other studies use:
    those are not touched.
    """
    taken = set(elsewhere)
    there = _There(wb)
    for change in past.changes():
        if (change.record, change.key) not in taken and not there.knows(change, past.found.study.key):
            take_over(wb, change, study=past.found.study.key)


def take_over_results(wb: Workbench, past: Past) -> None:
    """The frozen results that are not on record here."""
    for each in past.results():
        results.freeze(
            wb,
            past.found.study.key,
            code_version=each.code_version,
            input_hash=each.input_hash,
            body=each.body,
            at=each.at,
        )


class _There:
    """Which changes are in history here already: of several alike, as many as there are."""

    def __init__(self, wb: Workbench) -> None:
        self._wb = wb
        self._left: dict[tuple[str, str], Counter[str]] = {}

    def knows(self, change: PastChange, study: str) -> bool:
        place = (TABLES[change.record], change.key)
        if place not in self._left:
            self._left[place] = Counter(
                _mark(each.before, each.after) for each in history_of(self._wb, *place)
            )
        mark = _mark(plain(change.before), plain(change.after))
        if change.record == ARRIVAL:
            mark = _mark(None, link(study, change.key))
        if self._left[place][mark] == 0:
            return False
        self._left[place][mark] -= 1
        return True


def _mark(before: Any, after: Any) -> str:
    """One change told in one way; a field that a record came to have later says nothing where it is empty."""
    sides = [
        {name: value for name, value in side.items() if value is not None}
        if isinstance(side, Mapping)
        else side
        for side in (before, after)
    ]
    return json.dumps(sides, sort_keys=True)


def link(study: str, run: str) -> dict[str, Any]:
    """A run's place in a study, as it is when the run comes in."""
    return {"study": study, "run": run, "named": True}


def take_over(wb: Workbench, change: PastChange, *, study: str) -> None:
    """One change that is not known here."""
    if change.after is None:
        note_past(wb, TABLES[ARRIVAL], change.key, before=None, after=link(study, change.key), at=change.at)
        return
    if not isinstance(change.after, Run):
        if on_shelf(wb, change.after) == change.before:
            save(wb, change.after, change.at)
    elif run_store.on_record(wb, change.key) is None:
        # The run comes in with its folder, as it is today; this is what it was.
        note_past(wb, TABLES["run"], change.key, before=change.before, after=change.after, at=change.at)


def on_shelf(wb: Workbench, record: Shelved) -> Shelved | None:
    """The record of this kind and key as it is here, if it is."""
    try:
        return shelves.one(wb, type(record), record.key)
    except NotFound:
        return None


def save(wb: Workbench, record: Shelved, at: datetime) -> None:
    """The record as it became then; nothing where it names what is not here."""
    try:
        with wb.writing():
            shelves.save(wb, record, now=at)
    except BadRecord:
        return
