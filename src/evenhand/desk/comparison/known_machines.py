"""What is to be known of two machines beside any number: parts not on record, no difference, other days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

from evenhand.desk.comparison.causing import machine_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.fairness import NO_PARTS, NOTHING_DIFFERS, Fairness, fairness, unread_parts
from evenhand.findings.finding import Caveat
from evenhand.findings.rooms import days_caveat
from evenhand.records.builds import Part
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

Known = Mapping[tuple[str, str], tuple[Caveat, ...]]


def known_of(wb: Workbench, record: StudyOnRecord) -> Known:
    """By every two setups that the study compares, the first of them first."""
    keys = dict.fromkeys(part for build in record.builds.values() for part in build.parts)
    parts = shelves.some(wb, Part, keys)
    machines = [machine_of(record, setup, parts) for setup in record.study.setups]
    found = {}
    for a, b in combinations(machines, 2):
        held = fairness(a, b)
        alike = tuple(caveat for caveat in held.caveats if caveat.key == NOTHING_DIFFERS)
        apart = days_caveat(a, b)
        found[a.key, b.key] = (
            *alike,
            *(unread_parts(held) or _without_parts(held)),
            *([apart] if apart else []),
        )
    return found


def _without_parts(held: Fairness) -> tuple[Caveat, ...]:
    """That neither lists any part, told once for both."""
    blank = [caveat for caveat in held.caveats if caveat.key == NO_PARTS]
    return tuple(replace(each, setups=tuple(s for c in blank for s in c.setups)) for each in blank[:1])
