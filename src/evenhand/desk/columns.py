"""Look at one log before any study names it: what its columns seem to be; confirm them once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from evenhand.desk.layouts import Question, question, remember, remembered
from evenhand.desk.study_folders import file_bytes
from evenhand.records.layouts import Layout
from evenhand.store.workbench import Workbench
from evenhand.traces.fingerprints import fingerprint
from evenhand.traces.probe import probe


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLook:
    """What a log looks like, and the layout remembered for its header, if any."""

    question: Question
    remembered: Layout | None


def look_at_log(wb: Workbench, path: Path) -> LogLook:
    """A guess for every column of a log, with its reason. Raises BadLog where it cannot be read as rows."""
    seen = probe(file_bytes(path.parent, path.name), name=path.name)
    mark = fingerprint(seen.header)
    known = next((layout for layout in remembered(wb) if layout.fingerprint == mark), None)
    return LogLook(question=question(seen, name=path.name), remembered=known)


def confirm_columns(wb: Workbench, look: LogLook, *, now: datetime) -> Layout:
    """Remember the guess as what these columns are."""
    return remember(wb, look.question.layout, now=now)
