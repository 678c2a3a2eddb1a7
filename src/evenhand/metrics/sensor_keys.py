"""Keys of sensor summaries, and the definition each of them carries.

A key reads `sensor:ABOUT:ROLE:STATISTIC`, such as `sensor:processor:clock:median`. A channel in another
unit than its role's own says so in the role (`fan in %`), since another unit is another definition.
"""

from __future__ import annotations

import re

from evenhand.metrics.run_metrics import Definition
from evenhand.records.layouts import Role

ROLE_UNITS = {
    Role.CLOCK: "MHz",
    Role.TEMPERATURE: "°C",
    Role.POWER: "W",
    Role.LOAD: "%",
    Role.FAN: "rpm",
    Role.MEMORY: "MiB",
    Role.VOLTAGE: "V",
}

# How near to its own maximum a reading counts as "at" it: (in its unit, as a share of the maximum).
NEAR_MAXIMUM = {Role.TEMPERATURE: (1.0, 0.0), Role.LOAD: (1.0, 0.0), Role.VOLTAGE: (0.0, 0.005)}
NEAR_MAXIMUM_OTHERWISE = (0.0, 0.01)

PLATEAU_HOLDS_S = 5.0
STEP_HOLDS_S = 10.0
STEP_SHARE = 0.02

_LIMIT = re.compile(r"at_limit_pct@(-?\d+(?:\.\d+)?)")


def sensor_key(role: Role, unit: str, about: str, statistic: str) -> str:
    """The key of one statistic of one channel.

    >>> sensor_key(Role.CLOCK, "MHz", "processor", "median")
    'sensor:processor:clock:median'
    >>> sensor_key(Role.FAN, "%", "front", "p95")
    'sensor:front:fan in %:p95'
    """
    own = unit in ("", ROLE_UNITS.get(role, ""))
    return f"sensor:{about}:{role.value if own else f'{role.value} in {unit}'}:{statistic}"


def limit_statistic(limit: float) -> str:
    """The statistic "share of time at or above this limit"; the limit is part of it.

    >>> limit_statistic(95.0)
    'at_limit_pct@95'
    """
    text = f"{limit:.6f}".rstrip("0").rstrip(".")
    return f"at_limit_pct@{text}"


def near_maximum(role: Role, maximum: float) -> float:
    """How far below its maximum a reading of this role still counts as at it, in the channel's unit."""
    absolute, share = NEAR_MAXIMUM.get(role, NEAR_MAXIMUM_OTHERWISE)
    return absolute + share * abs(maximum)


def sensor_definition(key: str) -> Definition | None:
    """The definition of a sensor summary, or None where the key is not one.

    >>> sensor_definition("sensor:processor:clock:median").unit
    'MHz'
    >>> sensor_definition("sensor:processor:mood:median") is None
    True
    """
    parts = key.removeprefix("sensor:").rsplit(":", 2) if key.startswith("sensor:") else []
    if len(parts) != 3:
        return None
    about, role_words, statistic = parts
    role = _role(role_words)
    meant = _statistic(statistic, role, _unit(role, role_words)) if role else None
    if meant is None:
        return None
    label, unit, meaning = meant
    name = f"{about} {role_words}".strip()
    return Definition(
        key=key, label=f"{name}, {label}", unit=unit, better="", rankable=False, meaning=meaning
    )


def _role(words: str) -> Role | None:
    return next((r for r in ROLE_UNITS if words == r.value or words.startswith(f"{r.value} in ")), None)


def _unit(role: Role | None, words: str) -> str:
    if role is None:
        return ""
    return words.removeprefix(f"{role.value} in ") if " in " in words else ROLE_UNITS[role]


def _statistic(statistic: str, role: Role, unit: str) -> tuple[str, str, str] | None:
    """(label, unit, meaning) of a statistic of a channel in this role and unit."""
    limit = _LIMIT.fullmatch(statistic)
    if limit:
        return (
            f"time at {limit[1]} {unit} or above",
            "%",
            f"The share of the log's time in which the reading is at or above {limit[1]} {unit}.",
        )
    return _fixed_statistics(role, unit).get(statistic)


def _fixed_statistics(role: Role, unit: str) -> dict[str, tuple[str, str, str]]:
    absolute, share = NEAR_MAXIMUM.get(role, NEAR_MAXIMUM_OTHERWISE)
    near = f"{absolute:g} {unit}" if absolute else f"{share * 100:g} %"
    at_maximum = (
        f"The share of the log's time in which the reading is within {near} of the largest one, "
        f"given where it stays there for {PLATEAU_HOLDS_S:g} s on end."
    )
    lasting = f"changes of level by {STEP_SHARE * 100:g} % or more that hold {STEP_HOLDS_S:g} s on both sides"
    table = {
        "median": ("median", unit, "The median of the readings."),
        "p95": ("95th percentile", unit, "The 95th percentile (linear between order statistics)."),
        "at_max_pct": ("time at its own maximum", "%", at_maximum),
    }
    if role is Role.CLOCK:
        size = f"The largest of the lasting steps ({lasting}), as a share of the level before it."
        table["steps"] = ("steps", "1", f"The number of lasting steps: {lasting}.")
        table["largest_step_pct"] = ("largest step", "%", size)
    return table
