"""Days and moments in a folder that are still to come: nobody has read or tried anything then."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from pathlib import Path

from evenhand.desk.tuning.checking import CLOCK_AHEAD_S
from evenhand.folders import lines
from evenhand.folders.problems import Problem, refusal
from evenhand.folders.study_folder import STUDY_FILE, StudyFolder
from evenhand.records.turns import Turn, why_gone

FOUND = "this day is still to come"


def refuse_to_come(found: StudyFolder, folder: Path, *, now: datetime) -> None:
    """Raises BadRecord that names every day of tuned parts, trials and temperature logs past now.

    A clock may be a day ahead, wrong or in another zone. What was taken back is held against nothing.
    """
    problems = tuple(_to_come(found, now + timedelta(seconds=CLOCK_AHEAD_S)))
    if problems:
        path = folder / STUDY_FILE
        known = lines.lines_of(path.read_text(encoding="utf-8-sig"))
        raise refusal(problems, where=str(path), lines=known)


def _to_come(found: StudyFolder, until: datetime) -> Iterator[Problem]:
    for at, part in enumerate(found.tuned):
        for nth, limit in enumerate(part.limits):
            place: lines.Path = ("tuned", at, "limits", nth)
            if why_gone(limit.turns) is None and limit.limit.read_on > until.date():
                todo = "write on which day it was read"
                yield Problem(path=(*place, "read_on"), found=FOUND, todo=todo)
            yield from _turned(limit.turns, place, until)
    for at, trial in enumerate(found.trials):
        yield from _begun(trial.trial.at, trial.turns, ("trials", at), until)
    for at, log in enumerate(found.heat):
        yield from _begun(log.heat.at, log.turns, ("heat", at), until)


def _begun(
    begun: datetime | None, turns: Sequence[Turn], place: lines.Path, until: datetime
) -> Iterator[Problem]:  # fmt: skip
    if why_gone(turns) is None and begun is not None and begun > until:
        yield Problem(path=(*place, "at"), found=FOUND, todo="write when it began")
    yield from _turned(turns, place, until)


def _turned(turns: Sequence[Turn], place: lines.Path, until: datetime) -> Iterator[Problem]:
    """Turns are told wherever they stand: the last one says whether the thing counts."""
    for nth, turn in enumerate(turns):
        if turn.at > until:
            todo = "write when it was taken back or put back"
            yield Problem(path=(*place, "turns", nth, "at"), found=FOUND, todo=todo)
