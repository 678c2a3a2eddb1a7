"""Logs that end before they should."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.records.faults import Fault, Severity
from evenhand.traces.flaws import CUT_ARCHIVE, MEANINGS, NO_FINAL_LINE_END, SHORT_LAST_ROW
from evenhand.traces.trace import Flaw
from evenhand.triage.features import Features
from evenhand.triage.view import CellView

KIND = "truncated"


def truncated(view: CellView) -> Iterator[tuple[str, Fault]]:
    """A log cut while it was being written.

    A missing line end alone counts only against siblings that have one: some programs never write it.
    """
    lacking = [run for run in view.runs if NO_FINAL_LINE_END in _kinds(run)]
    logs = [run for run in view.runs if run.rows]
    habit = len(lacking) * 2 >= len(logs)
    for run in view.runs:
        cut = [f for f in run.flaws if f.kind in (SHORT_LAST_ROW, CUT_ARCHIVE)]
        if cut:
            yield run.id, _fault(cut[0], Severity.BLOCKS)
        elif run in lacking and not habit:
            yield run.id, _fault(next(f for f in run.flaws if f.kind == NO_FINAL_LINE_END), Severity.BLOCKS)
        elif run in lacking and len(logs) == 1:
            yield run.id, _fault(next(f for f in run.flaws if f.kind == NO_FINAL_LINE_END), Severity.NOTE)


def _kinds(run: Features) -> set[str]:
    return {flaw.kind for flaw in run.flaws}


def _fault(flaw: Flaw, severity: Severity) -> Fault:
    line = f"Line {flaw.line:,}: " if flaw.line is not None else ""
    meaning = MEANINGS[flaw.kind]
    words = meaning if line else meaning[0].upper() + meaning[1:]
    beside = "; the logs of its siblings end properly" if _against_siblings(flaw, severity) else ""
    return Fault(
        kind=KIND,
        title="Log cut off",
        severity=severity,
        evidence=f"{line}{words}{beside}.",
        todo="Copy the log from the machine again; if it ends there too, record the run again.",
        numbers={} if flaw.line is None else {"line": float(flaw.line)},
    )


def _against_siblings(flaw: Flaw, severity: Severity) -> bool:
    return flaw.kind == NO_FINAL_LINE_END and severity is Severity.BLOCKS
