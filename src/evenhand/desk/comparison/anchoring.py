"""Anchors: machines run before and after a change, what that shifted, and how steady the bench is."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise

from evenhand.desk.comparison.periods import Times, anchors_of, times_of
from evenhand.desk.latest import Latest
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.bridges import Bridged, NoBridge, Period, Shift, bridged, shifts
from evenhand.findings.common_shift import common_shift
from evenhand.findings.control import Control, control_charts
from evenhand.findings.effects import Effect
from evenhand.store.rows import as_text

LATELY = Latest(8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossed:
    """What one change did to an anchor: by test, and over all tests where there are two or more."""

    anchor: str
    old: str
    new: str
    shifts: tuple[Shift, ...]
    common: Effect | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AcrossTime:
    """What changed while a study was measured, and what anchors say of it.

    `bridges` are of the pair, in tests in which the two were never measured under one set of conditions.
    `steady` are the control charts of the machine with most bench days, `watched`.
    """

    changed: tuple[str, ...] = ()
    periods: tuple[str, ...] = ()
    crossed: tuple[Crossed, ...] = ()
    bridges: tuple[Bridged | NoBridge, ...] = ()
    watched: str = ""
    steady: tuple[Control, ...] = field(default=())


def across_time(record: StudyOnRecord, pair: tuple[str, str]) -> AcrossTime:
    """Everything that the record says across time, for a pair of setups."""
    times = times_of(record)
    key = ("across", pair, times.periods, times.sessions, as_text(record.study))
    return LATELY.of(key, lambda: _across(record, times, pair))


def _across(record: StudyOnRecord, times: Times, pair: tuple[str, str]) -> AcrossTime:
    watched = _watched(record, times)
    sessions = [session for session in times.sessions if session.cell.setup == watched]
    return AcrossTime(
        changed=times.changed, periods=tuple(period.name for period in times.periods),
        crossed=tuple(_crossed(record, times)), bridges=tuple(_bridges(record, times, pair)),
        watched=watched, steady=control_charts(sessions),
    )  # fmt: skip


def _crossed(record: StudyOnRecord, times: Times) -> list[Crossed]:
    """Every change that an anchor was run across, the one beside it in time each."""
    steps: dict[tuple[str, str, str], tuple[Period, Period, list[str]]] = {}
    for anchor in anchors_of(times):
        for test in record.study.tests:
            for old, new in pairwise(times.of(test, anchor)):
                steps.setdefault((anchor, old.name, new.name), (old, new, []))[2].append(test)
    return [_step(record, anchor, step) for (anchor, _, _), step in steps.items()]


def _step(record: StudyOnRecord, anchor: str, step: tuple[Period, Period, list[str]]) -> Crossed:
    old, new, tests = step
    study = replace(record.study, tests=tuple(tests))
    return Crossed(
        anchor=anchor, old=old.name, new=new.name, shifts=shifts(anchor, old=old, new=new, study=study),
        common=common_shift(anchor, old=old, new=new, study=study),
    )  # fmt: skip


def _bridges(record: StudyOnRecord, times: Times, pair: tuple[str, str]) -> list[Bridged | NoBridge]:
    """The pair across a change, in tests in which no set of conditions has both."""
    a, b = (times.machines.get(setup, setup) for setup in pair)
    apart: dict[tuple[str, str], tuple[Period, Period, list[str]]] = {}
    for test in record.study.tests:
        of_a, of_b = times.of(test, a), times.of(test, b)
        if of_a and of_b and not {p.name for p in of_a} & {p.name for p in of_b}:
            place = apart.setdefault((of_a[-1].name, of_b[-1].name), (of_a[-1], of_b[-1], []))
            place[2].append(test)
    return [found for place in apart.values() for found in _joined(record, (a, b), place, times)]


def _joined(
    record: StudyOnRecord,
    pair: tuple[str, str],
    place: tuple[Period, Period, list[str]],
    times: Times,
) -> tuple[Bridged | NoBridge, ...]:
    of_a, of_b, tests = place
    study = replace(record.study, tests=tuple(tests))
    return bridged(
        (pair[0], of_a), (pair[1], of_b), anchors=anchors_of(times), study=study,
        order=[period.name for period in times.periods],
    )  # fmt: skip


def _watched(record: StudyOnRecord, times: Times) -> str:
    """The machine with most bench days; of as many the one that crossed a change, then the first compared."""
    days: dict[str, set[object]] = {}
    for session in times.sessions:
        days.setdefault(session.cell.setup, set()).add(session.at.date())
    anchors = anchors_of(times)
    first = [times.machines[key] for key in record.study.setups if key in times.machines]
    order = dict.fromkeys([*anchors, *first, *days])
    return max((machine for machine in order if machine in days), key=lambda m: len(days[m]), default="")
