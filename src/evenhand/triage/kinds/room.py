"""The room was another one: warmer or colder than the study allows, or than the siblings' room."""

from __future__ import annotations

import statistics
from collections.abc import Iterator, Sequence

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, span

KIND = "room"
FEWEST_ROOMS = 2


def room(view: CellView) -> Iterator[tuple[str, Fault]]:
    """A run outside the study's declared range; without a range, away from the median of its siblings."""
    for run in view.runs:
        here = run.run.ambient_c
        if here is None:
            continue
        declared = view.company.ambient_c
        fault = _against_range(here, declared) if declared else _against_siblings(run, here, view)
        if fault is not None:
            yield run.id, fault


def _against_range(here: float, declared: tuple[float, float]) -> Fault | None:
    low, high = declared
    if low <= here <= high:
        return None
    word, edge = ("warmer", high) if here > high else ("colder", low)
    return _fault(
        word,
        f"The room was at {amount(here, 1, '°C')}; this study compares runs at {span(low, high, 1, '°C')}.",
        {"room_c": here, "outside_by_c": abs(here - edge)},
    )


def _against_siblings(run: Features, here: float, view: CellView) -> Fault | None:
    others = [s for s in view.siblings(run.id) if s.run.ambient_c is not None]
    temperatures = [s.run.ambient_c for s in others if s.run.ambient_c is not None]
    if len(temperatures) < FEWEST_ROOMS:
        return None
    usual = statistics.median(temperatures)
    if abs(here - usual) <= view.limits.room.apart_c:
        return None
    return _fault(
        "warmer" if here > usual else "colder",
        f"The room was at {amount(here, 1, '°C')}, its siblings' at {amount(usual, 1, '°C')} in the median.",
        {"room_c": here, "siblings_c": usual},
        others,
    )


def _fault(word: str, evidence: str, numbers: dict[str, float], others: Sequence[Features] = ()) -> Fault:
    return Fault(
        kind=KIND,
        title=f"Room {word} than the comparison allows",
        severity=Severity.IN_DOUBT,
        evidence=evidence,
        todo="Set it aside as run under other conditions and show it as such, or record it again.",
        numbers=numbers,
        siblings=tuple(s.id for s in others),
    )
