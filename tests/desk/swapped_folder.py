"""Study folders of scores alone, made for questions about parts: swaps, clocks, and a change of driver."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from tests.desk.small_folder import Folder

KINDS = {"p": "processor", "b": "board", "g": "graphics"}
FIRST_DAY = datetime(2031, 5, 4, 9, 0, tzinfo=UTC)
SPREAD = (-0.004, 0.003, 0.001, -0.002, 0.002)
"""Logs of runs about their mean: they add up to nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A setup: its parts, the log of its mean by test, and what it says of itself.

    It is measured from bench day `day` on, over `days` of them. `build` is shared by setups that are states
    of one machine; its key where none is named.
    """

    key: str
    parts: tuple[str, ...] = ()
    logs: Mapping[str, float] = field(default_factory=dict)
    stamps: Mapping[str, str] = field(default_factory=dict)
    build: str = ""
    state: str = "stock"
    day: int = 0
    days: int = 1


def swapped(
    *setups: Made,
    compared: Sequence[str] = (),
    tests: Sequence[Mapping[str, Any]] = (),
    names: Mapping[str, str] | None = None,
) -> Folder:
    """Five runs of each test on each setup; those of one day in turns, a boot a run. `names` by part."""
    called = {key: f"Part {key.upper()}" for made in setups for key in made.parts} | dict(names or {})
    builds = {made.build or made.key: made for made in reversed(setups)}
    parts = dict.fromkeys(part for made in setups for part in made.parts)
    keys = list(dict.fromkeys(test for made in setups for test in made.logs))
    named = list(compared or [made.key for made in setups])
    study = {"key": "mole", "title": "The study mole", "setups": named}
    document = {
        "study": {**study, "tests": [test["key"] for test in tests] or keys},
        "parts": [{"key": key, "kind": KINDS[key[0]], "name": called[key]} for key in parts],
        "builds": [
            {"key": key, "name": key.capitalize(), "slot": slot, "parts": list(builds[key].parts)}
            for slot, key in enumerate(sorted(builds), start=1)
        ],
        "setups": [
            {"key": made.key, "name": made.key.capitalize(), "build": made.build or made.key,
             "state": made.state, "stamps": dict(made.stamps)}
            for made in setups
        ],
        "tests": [dict(t) for t in tests] or [scored(key) for key in keys],
        "runs": _numbered(setups),
    }  # fmt: skip
    return Folder(document=document, files={})


def scored(key: str, **more: Any) -> dict[str, Any]:
    """A test that leaves a score."""
    test = {
        "key": key,
        "name": key.capitalize(),
        "measures": "score",
        "unit": "jobs/h",
        "direction": "higher",
    }
    return {**test, "minutes": 4.0, **more}


def _numbered(setups: Sequence[Made]) -> list[dict[str, Any]]:
    runs = []
    days = sorted({made.day for made in setups})
    for day in days:
        here = [made for made in setups if made.day == day]
        for number, off in enumerate(SPREAD):
            for made in here if number % 2 == 0 else reversed(here):
                at = FIRST_DAY + timedelta(days=day + number * made.days // len(SPREAD), minutes=20 * number)
                for test, log in made.logs.items():
                    runs.append({
                        "test": test, "setup": made.key, "label": f"{made.key} {test} {number + 1}",
                        "score": round(math.exp(log + off), 6), "boot": f"{made.key}-{number + 1}",
                        "ambient_c": 23.0, "started_at": at,
                    })  # fmt: skip
    for order, run in enumerate(runs, start=1):
        run["order"] = order
    return runs
