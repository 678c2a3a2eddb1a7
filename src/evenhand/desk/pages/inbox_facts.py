"""What came with a file of the inbox, as people say it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from types import MappingProxyType

from evenhand.desk.bench.watching import BY as WATCHED
from evenhand.desk.study.moments import Clock, begun_words
from evenhand.errors import NotFound
from evenhand.publish.numbers import with_unit
from evenhand.records.builds import Build
from evenhand.records.plans import Arrival
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

FACTS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "build": ("Brought by the rig", ""),
        "label": ("Label", ""),
        "boot": ("Boot", ""),
        "order": ("Place in the order", ""),
        "started_at": ("Began", ""),
        "duration_s": ("Lasted", "s"),
        "ambient_c": ("Room", "°C"),
        "wall_w": ("At the wall", "W"),
        "score": ("Score", ""),
    }
)
"""What may have come with a file, as it is called here, and its unit."""


def facts_of(wb: Workbench, arrival: Arrival, clock: Clock) -> Iterator[tuple[str, str]]:
    """Each fact that came with a file, as it is called and as it is said."""
    for key, (words, unit) in FACTS.items():
        if key in arrival.about:
            given = arrival.about[key]
            yield words, fact_words(wb, key, given, clock) or with_unit(given, unit)


def from_words(arrival: Arrival) -> str:
    """Who or what brought a file; of a watched folder, which."""
    if arrival.by == WATCHED and "folder" in arrival.about:
        return f"From the watched folder {arrival.about['folder']}"
    return f"From {arrival.by}"


def fact_words(wb: Workbench, key: str, given: str, clock: Clock) -> str:
    """A fact that a program told in its own way, as people say it; "" where it is said as it came."""
    try:
        if key == "build":
            return shelves.one(wb, Build, given).name
        return begun_words(datetime.fromisoformat(given), clock) if key == "started_at" else ""
    except (NotFound, ValueError):
        return ""
