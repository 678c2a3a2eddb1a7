"""What is tried, how a trial ended, and the record of it that goes home."""

from __future__ import annotations

import math
import secrets
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime
from typing import Any
from unicodedata import category

from evenhand.rig.operator import readable

HOUR_S = 3600.0
MOST_MHZ, MOST_MV, MOST_H = 100_000.0, 20_000.0, 10_000.0  # what a workbench takes
LONGEST, LONGEST_NOTE = 200, 1000  # signs of a name, of a note

# The words that the workbench knows an outcome by.
PASSED, WRONG, ERROR, CRASH = "passed", "wrong result", "error", "crash"
REBOOT, THROTTLED, STOPPED = "reboot", "throttled", "stopped"
AT_PART = "part"  # where the watts were read that a rig tells


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One trial: the point as the user has set it in firmware, the load, and for how long.

    `key` is this trial's own, so that it is one however often it is sent. `boot` names the start of the
    machine in which it began, `began_at` the moment by this machine's clock.
    """

    setup: str
    part: str
    clock_mhz: float
    voltage_mv: float
    load: str
    planned_h: float
    settings: Mapping[str, str] = field(default_factory=dict)
    room_c: float | None = None
    note: str = ""
    key: str = ""
    boot: str | None = None
    began_at: str = ""

    def odd(self) -> str:
        """What of it no workbench would take, in words; "" where all is well."""
        bounds = (
            ("clock", self.clock_mhz, 1e-9, MOST_MHZ, "MHz"),
            ("voltage", self.voltage_mv, -MOST_MV, MOST_MV, "mV"),
            ("time", self.planned_h, 1e-9, MOST_H, "h"),
            ("room", self.room_c or 0.0, -40.0, 60.0, "°C"),
        )  # fmt: skip
        for name, value, least, most, unit in bounds:
            if not least <= value <= most:
                return f"a {name} of {value:g} {unit} is none"
        texts = [(each, LONGEST) for each in (self.load, *self.settings, *self.settings.values())]
        for text, most in (*texts, (self.note, LONGEST_NOTE)):
            if len(text) > most:
                return f"'{text[:40]} …' is longer than {most} signs"
            if unseen(text):
                return f"'{readable(text)}' has a sign in it that nobody sees"
        return ""

    @property
    def words(self) -> str:
        """The point and the load.

        >>> Asked(setup="wren", part="processor", clock_mhz=5200, voltage_mv=1250, load="integers",
        ...       planned_h=0.5).words
        'processor of wren at 5200 MHz and 1250 mV, integers for 0.5 h'
        """
        volts = f"and {self.voltage_mv:g} mV" if self.voltage_mv else "at its own voltage"
        point = f"{self.part} of {self.setup} at {self.clock_mhz:g} MHz {volts}"
        return f"{point}, {self.load} for {self.planned_h:g} h"

    def begun(self, *, boot: str | None, now: datetime) -> Asked:
        """The same as it begins now, with a key of its own."""
        moment = now.astimezone(UTC)
        key = f"{moment:%Y%m%d-%H%M%S}-{secrets.token_hex(6)}"
        return replace(self, key=key, boot=boot, began_at=moment.isoformat())


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """How a trial ended: the outcome, why in words, how long it held, by when a failure was found.

    `held_s` counts from its begin, and is without an end until somebody looks at the clock; `found_s` is None
    where the moment is known. `watts` are their mean by the part's own sensor.
    """

    outcome: str
    why: str
    held_s: float = math.inf
    found_s: float | None = None
    errors: int = 0
    corrected: int = 0
    hottest_c: float | None = None
    watts: float | None = None


def header_of(trial: Asked) -> dict[str, Any]:
    """The first line of its journal."""
    return {"begin": {**asdict(trial), "settings": dict(trial.settings)}}


def trial_from(told: Mapping[str, Any]) -> Asked:
    """The trial of a journal's first line. Raises TypeError where it is none."""
    return Asked(**told)


def unseen(text: str) -> bool:
    """Whether a control character stands in it, or half of a sign: no workbench would take it."""
    return any(category(sign) in ("Cc", "Cs") for sign in text)


def asked_of(trial: Asked) -> dict[str, Any]:
    """What the workbench knows a trial by, whether it runs or has ended."""
    return {
        "key": trial.key,
        "setup": trial.setup,
        "part": trial.part,
        "clock_mhz": trial.clock_mhz,
        "voltage_mv": trial.voltage_mv,
        "load": trial.load,
        "planned_h": trial.planned_h,
        "settings": dict(trial.settings),
        "room_c": trial.room_c,
    }


def record_of(trial: Asked, end: End) -> dict[str, Any]:
    """What goes home."""
    return {
        **asked_of(trial),
        "hours": hours(end.held_s),
        "outcome": end.outcome,
        "found_after_h": None if end.found_s is None else hours(end.found_s),
        "errors": end.errors,
        "corrected": end.corrected,
        "hottest_c": end.hottest_c,
        "watts": end.watts,
        "watts_at": None if end.watts is None else AT_PART,
        "at": trial.began_at,
        "note": ". ".join(filter(None, (trial.note.strip(". "), readable(end.why)))),
    }


def span(seconds: float) -> str:
    """How long, in words.

    >>> span(12.3), span(1500), span(5400)
    ('12 s', '25 min', '1.5 h')
    """
    if seconds < 120:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < HOUR_S else f"{seconds / HOUR_S:.4g} h"


def hours(seconds: float) -> float:
    """Hours, to a hundredth of a second.

    >>> hours(5400.0)
    1.5
    """
    return round(seconds / HOUR_S, 6)
