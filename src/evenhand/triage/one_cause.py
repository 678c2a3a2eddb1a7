"""A take that is longer because it stood still, loaded or crawled is held once, for that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.records.faults import Fault, Severity
from evenhand.triage.limits.mechanical import LengthLimits
from evenhand.triage.wording import amount

_LENGTH = "length"
_LOSES = ("slow-stretch", "late-start")


def cause_first(faults: Sequence[Fault], limits: LengthLimits) -> tuple[Fault, ...]:
    """The faults of a run; of a length that another of them explains the cause leads, and the length says so.

    The length is a note then: one cause holds a run once.
    """
    length = next((f for f in faults if f.kind == _LENGTH), None)
    cause = None if length is None else _cause_of(length, faults, limits)
    if length is None or cause is None:
        return tuple(faults)
    told = replace(
        length,
        severity=Severity.NOTE,
        evidence=f"{length.evidence} {_because(length, cause)}",
        todo="Nothing for its length: a take without that has the length of its siblings.",
    )
    rest = [f for f in faults if f is not length]
    after = rest.index(cause) + 1
    return (*rest[:after], told, *rest[after:])


def _cause_of(length: Fault, faults: Sequence[Fault], limits: LengthLimits) -> Fault | None:
    """What the take has lost as much time by as it is longer."""
    by_s = longer_by_s(length)
    causes = (f for f in faults if f.kind in _LOSES and f.numbers.get("lost_s", 0.0) > 0)
    return next(
        (f for f in causes if by_s > 0 and f.numbers["lost_s"] >= limits.explained_share * by_s), None
    )


def longer_by_s(length: Fault) -> float:
    """By how many seconds the take is longer than the nearest of its siblings."""
    return length.numbers["length_s"] * (1 - 1 / length.numbers["nearest_sibling_ratio"])


def _because(length: Fault, cause: Fault) -> str:
    lost_s, by_s = cause.numbers["lost_s"], longer_by_s(length)
    where = (
        "before the scene"
        if cause.kind == "late-start"
        else f"from {amount(cause.numbers['from_s'], 1, 's')} on"
    )
    return f"It is longer by {amount(by_s, 1, 's')} because {amount(lost_s, 1, 's')} were lost {where}."
