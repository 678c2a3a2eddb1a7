"""What the reader of a log found wrong and no other detector judges by numbers."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.records.faults import Fault, Severity
from evenhand.traces.flaws import (
    DUPLICATED_ROW,
    EMPTY_FIELD,
    LONG_ROW,
    MEANINGS,
    MIXED_ENCODINGS,
    MIXED_LINE_ENDS,
    REPEATED_HEADER,
    SHORT_ROW,
    UNREADABLE_FIELD,
    UNREADABLE_ROW,
)
from evenhand.traces.trace import Flaw
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import ReadingLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import count, share

KIND = "damaged-log"
_BY_SHARE = (SHORT_ROW, LONG_ROW, EMPTY_FIELD, UNREADABLE_FIELD, UNREADABLE_ROW, DUPLICATED_ROW)
_JOINED = (REPEATED_HEADER, MIXED_ENCODINGS)
_NOTED = (MIXED_LINE_ENDS,)


def reading(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Flaws that spoil a share of the rows, or show that a file holds more than one take.

    Frame times that could not be read are judged as missing frame times, clocks by `slipped_clock`.
    """
    for run in view.runs:
        flaws = told(run)
        if flaws and run.rows:
            yield run.id, _fault(run, flaws, _severity(run, flaws, view.limits.reading))


def told(run: Features) -> list[Flaw]:
    """What the reader of a run's log listed that is judged here."""
    return [f for f in run.flaws if f.kind in (*_BY_SHARE, *_JOINED, *_NOTED)]


def _severity(run: Features, flaws: list[Flaw], limits: ReadingLimits) -> Severity:
    part = _spoilt(flaws) / run.rows
    if part > limits.blocks_above_share:
        return Severity.BLOCKS
    if part > limits.doubt_above_share or any(f.kind in _JOINED for f in flaws):
        return Severity.IN_DOUBT
    return Severity.NOTE


def _spoilt(flaws: list[Flaw]) -> int:
    return sum(f.count for f in flaws if f.kind in _BY_SHARE)


def _fault(run: Features, flaws: list[Flaw], severity: Severity) -> Fault:
    spoilt = _spoilt(flaws)
    shown = "; ".join(f"{f.detail} ({MEANINGS[f.kind]})" for f in flaws)
    rows = (
        f" {count(spoilt, 'row')} of {run.rows:,} touched ({share(spoilt / run.rows, 2)})." if spoilt else ""
    )
    return Fault(
        kind=KIND,
        title="Log damaged" if severity is not Severity.NOTE else "Log slightly damaged",
        severity=severity,
        evidence=f"{shown[0].upper()}{shown[1:]}.{rows}",
        todo="Look at these lines in the original; copy the log again or record the run again.",
        numbers={"touched_rows": float(spoilt), "touched_share": spoilt / run.rows},
    )
