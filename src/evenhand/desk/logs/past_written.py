"""A study's past out of a workbench: written by export beside the study file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import TextIO

from evenhand.desk.logs.past import NOUNS, TABLES
from evenhand.folders.history_file import (
    ARRIVAL,
    HISTORY_FILE,
    RESULTS_FILE,
    PastResult,
    change_line,
    result_line,
)
from evenhand.folders.study_folder import PastLines
from evenhand.store import results
from evenhand.store import runs as run_store
from evenhand.store.history import Change, arrivals_of, history_of, run_changes_of
from evenhand.store.workbench import Workbench


def history_lines(wb: Workbench, study: str) -> Iterator[str]:
    """The study's past as lines; none where nothing was changed of it, its records or its runs."""
    changes = past_of(wb, study)
    if any(each.before is not None for each in changes):
        yield from (line_of(each) for each in changes)


def past_of(wb: Workbench, study: str) -> tuple[Change, ...]:
    """Every change of the study and of all it ever named, its runs' arrivals and corrections, in order."""
    found = [*changes_of_records(wb, study)]
    arrived: set[str] = set()
    for arrival in arrivals_of(wb, study):
        if arrival.key not in arrived:
            found.append(arrival)
            arrived.add(arrival.key)
    # Whether a folder names a run is told by the folder itself.
    found += (each for each in run_changes_of(wb, study) if each.table == TABLES["run"])
    return tuple(sorted(found, key=lambda each: each.id))


def changes_of_records(wb: Workbench, study: str) -> Iterator[Change]:
    """The changes of a study, of the setups and tests of its runs and of every state it was in."""
    own = history_of(wb, TABLES["study"], study)
    runs = run_store.runs_of(wb, study)
    tests = _named(own, "tests", (run.test for run in runs))
    setups = _named(own, "setups", (run.setup for run in runs))
    of_setups = [each for key in setups for each in history_of(wb, TABLES["setup"], key)]
    builds = dict.fromkeys(each.after["build"] for each in of_setups)
    of_builds = [each for key in builds for each in history_of(wb, TABLES["build"], key)]
    parts = _named(of_builds, "parts", ())
    for key in tests:
        yield from history_of(wb, TABLES["test"], key)
    for key in parts:
        yield from history_of(wb, TABLES["part"], key)
    yield from (*own, *of_setups, *of_builds)


def _named(changes: Iterable[Change], field: str, besides: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*(key for each in changes for key in each.after[field]), *besides)))


def line_of(change: Change) -> str:
    """One change as a line of the history file."""
    noun = NOUNS[change.table]
    if noun == ARRIVAL:
        return change_line(noun, change.key, at=change.at)
    return change_line(noun, change.key, at=change.at, before=change.before, after=change.after)


def result_lines(wb: Workbench, study: str) -> Iterator[str]:
    """The study's frozen results as lines, the first first."""
    for each in results.results_of(wb, study):
        yield result_line(
            PastResult(at=each.at, code_version=each.code_version, input_hash=each.input_hash, body=each.body)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A file that was written: how many lines, and how many bytes."""

    lines: int
    bytes_written: int


def write_past(wb: Workbench, study: str, folder: Path) -> dict[str, Written]:
    """Both files into a folder, those that have a line; each under its name."""
    written: dict[str, Written] = {}
    for name, lines in ((HISTORY_FILE, history_lines(wb, study)), (RESULTS_FILE, result_lines(wb, study))):
        first = next(lines, None)
        if first is None:
            continue
        with (folder / name).open("w", encoding="utf-8", newline="\n") as file:
            sizes = [_put(file, line) for line in chain((first,), lines)]
        written[name] = Written(lines=len(sizes), bytes_written=sum(sizes))
    return written


def _put(file: TextIO, line: str) -> int:
    file.write(line + "\n")
    return len(line.encode()) + 1


def past_here(wb: Workbench, study: str) -> PastLines:
    """How long a study's past is on this workbench."""
    return PastLines(
        changes=sum(1 for _ in history_lines(wb, study)), results=len(results.results_of(wb, study))
    )
