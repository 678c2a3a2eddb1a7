"""What came with a file in words: read into the facts of a run, as far as they can be read."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

STAMP = "stamp "  # before the name of a stamp, in what is kept of it
TEXTS = ("kind", "study", "test", "setup", "boot", "label", "sensors", "build", "layout", "astray")
WHOLE = ("plan", "slot", "order")
NUMBERS = ("duration_s", "ambient_c", "wall_w", "score")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What came with a file, by the field of the run that it would fill; None where nothing was said.

    `kind` is frames, sensors or score; `sensors` the SHA-256 of the sensor log beside it; `build` the machine
    that brought it; `layout` says in JSON what its columns are. `astray` marks a file that appeared on a rig
    while it made no run that the file could be of.
    """

    kind: str | None = None
    study: str | None = None
    test: str | None = None
    setup: str | None = None
    plan: int | None = None
    slot: int | None = None
    boot: str | None = None
    order: int | None = None
    started_at: datetime | None = None
    duration_s: float | None = None
    ambient_c: float | None = None
    wall_w: float | None = None
    score: float | None = None
    label: str | None = None
    sensors: str | None = None
    build: str | None = None
    layout: str | None = None
    astray: str | None = None
    stamps: Mapping[str, str] = field(default_factory=dict)


def about_of(facts: Mapping[str, Any]) -> dict[str, str]:
    """Facts as they are kept beside an arrival: plain words by name.

    >>> about_of({"order": 4, "stamps": {"os": "Tern 9"}, "boot": None})
    {'order': '4', 'stamp os': 'Tern 9'}
    """
    about: dict[str, str] = {}
    for key, value in facts.items():
        if key == "stamps" and isinstance(value, Mapping):
            about |= {f"{STAMP}{name}": str(said) for name, said in value.items()}
        elif isinstance(value, datetime):
            about[key] = value.isoformat()
        elif isinstance(value, Mapping | list):
            about[key] = json.dumps(value, ensure_ascii=False)
        elif value is not None:
            about[key] = str(value)
    return about


def told_from(about: Mapping[str, str]) -> Told:
    """The facts that words tell; what cannot be read is left out.

    >>> told_from({"order": "4", "stamp os": "Tern 9", "wall_w": "about 300"})
    Told(..., order=4, ..., stamps={'os': 'Tern 9'})
    """
    texts = {key: about[key] for key in TEXTS if about.get(key)}
    whole = {key: int(about[key]) for key in WHOLE if about.get(key, "").strip().isdecimal()}
    numbers = {key: value for key in NUMBERS if (value := _number(about.get(key, ""))) is not None}
    stamps = {key.removeprefix(STAMP): said for key, said in about.items() if key.startswith(STAMP)}
    started_at = _moment(about.get("started_at", ""))
    return Told(**{**texts, **whole, **numbers}, started_at=started_at, stamps=stamps)  # type: ignore[arg-type]


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _moment(text: str) -> datetime | None:
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return None
    return found if found.tzinfo is not None else None
