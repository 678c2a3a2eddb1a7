"""A study that came without the files of its past: told on import, and beside every comparison."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, replace
from datetime import datetime
from pathlib import Path

from evenhand.desk.logs.past import Past
from evenhand.desk.logs.past_written import Written, past_here
from evenhand.folders.history_file import HISTORY_FILE, RESULTS_FILE
from evenhand.folders.study_folder import NO_PAST, PastLines, StudyFolder
from evenhand.publish.numbers import counted, listed
from evenhand.store.history import history_of, note_past
from evenhand.store.workbench import Workbench

TABLE = "pasts"  # a name in history alone: what is missing of a study's past, under the study's key


def missing_past(wb: Workbench, folder: Path, found: StudyFolder, *, now: datetime) -> PastLines:
    """What the study file tells of that its folder lacks and this workbench has not either; kept on record.

    To be asked before anything is taken over: what the import then changes is not what happened before.
    Changes that were missing once stay so: later they cannot be made any more, as the records stand beyond
    them. Frozen results may still come.
    """
    study = found.study.key
    known, lacks = known_missing(wb, study), found.past.beyond(Past(folder=folder, found=found).lines())
    if known:
        missing = replace(known, results=min(known.results, lacks.results))
    else:
        missing = lacks.shorter(found.past.beyond(past_here(wb, study)))
    if missing != known:
        note_past(wb, TABLE, study, before=asdict(known), after=asdict(missing), at=now)
    return missing


def known_missing(wb: Workbench, study: str) -> PastLines:
    """What is on record as missing of a study's past."""
    noted = history_of(wb, TABLE, study)
    return PastLines(**noted[-1].after) if noted else NO_PAST


def past_told(wb: Workbench, study: str, written: Mapping[str, Written]) -> PastLines:
    """What a study file says of the past beside it: the lines written, and those missing ever since."""
    missing = known_missing(wb, study)
    changes, results = (
        written[name].lines if name in written else 0 for name in (HISTORY_FILE, RESULTS_FILE)
    )
    return PastLines(changes=changes + missing.changes, results=results + missing.results)


def missing_words(missing: PastLines) -> tuple[str, ...]:
    """What is said of a past that is missing; nothing where none is.

    >>> missing_words(PastLines(changes=3))
    ('This study came without three lines of its history: what was changed of it before is not known here.',)
    """
    if not missing:
        return ()
    lacks = tuple(
        counted(n, one, many)
        for n, one, many in (
            (missing.changes, "line of its history", "lines of its history"),
            (missing.results, "frozen result", "frozen results"),
        )
        if n
    )
    unknown = "what was changed of it before" if missing.changes else "what it said before"
    return (f"This study came without {listed(lacks)}: {unknown} is not known here.",)
