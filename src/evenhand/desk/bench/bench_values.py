"""What a person reads off a room thermometer or a wall meter: understood, and doubted where it looks odd."""

from __future__ import annotations

import math
from collections.abc import Sequence

from evenhand.errors import BadRecord
from evenhand.publish.numbers import number, with_unit

UNITS = {"ambient_c": "°C", "wall_w": "W"}
POSSIBLE = {"ambient_c": (-30.0, 60.0), "wall_w": (0.5, 4000.0)}
NAMES = {"ambient_c": "room temperature", "wall_w": "power at the wall"}
FAR = 0.6  # a rig under load never draws so much less than the least it drew before


def understood(key: str, text: str) -> float:
    """A number as people write it: decimal point or comma, spaces, its unit or none. Raises BadRecord.

    >>> understood("ambient_c", "26,4 °C"), understood("wall_w", "1 301"), understood("wall_w", "1,301 W")
    (26.4, 1301.0, 1301.0)
    """
    bare = "".join(text.split()).removesuffix("°C").removesuffix("C").removesuffix("W").replace("−", "-")
    try:
        value = float(_with_point(bare, thousands=key == "wall_w"))
    except ValueError:
        value = math.nan
    low, high = POSSIBLE[key]
    if not low <= value <= high:
        raise BadRecord(
            f"'{text}' is no {NAMES[key]}",
            where=NAMES[key],
            todo=f"write a number from {low:g} to {high:g} {UNITS[key]}, or leave it empty",
        )
    return value


def _with_point(bare: str, *, thousands: bool) -> str:
    """The number with a decimal point: the last sign is it, but no wall meter shows thousandths."""
    comma, point = bare.rfind(","), bare.rfind(".")
    last = max(comma, point)
    if last < 0:
        return bare
    head, tail = bare[:last].replace(",", "").replace(".", ""), bare[last + 1 :]
    return head + tail if thousands and len(tail) == 3 and comma >= 0 else f"{head}.{tail}"


def wall_doubt(value: float, seen: Sequence[float], *, idle: float | None = None) -> str:
    r"""Why a reading of the wall meter looks wrong beside what this rig drew before, or "".

    `idle` is the rig's power at rest, where somebody wrote it down.

    >>> wall_doubt(31, [298.0, 305.0])
    '31\xa0W is far below what this rig drew so far, 298\xa0W at the least. Is a digit missing?'
    >>> wall_doubt(31, [], idle=48.0)
    '31\xa0W is below this rig’s idle, 48\xa0W. Is a digit missing?'
    >>> wall_doubt(301, [298.0])
    ''
    """
    told = _watts(value)
    if idle is not None and value < idle:
        return f"{told} is below this rig’s idle, {_watts(idle)}. Is a digit missing?"
    if not seen:
        return ""
    if value < FAR * min(seen):
        least = f"{told} is far below what this rig drew so far, {_watts(min(seen))} at the least."
        return (
            f"{least} {'Is a digit missing?' if _digit_missing(value, seen) else 'Was the rig under load?'}"
        )
    if value * FAR > max(seen):
        most = f"{told} is far above what this rig drew so far, {_watts(max(seen))} at the most."
        too_many = _digit_missing(value / 100, seen)
        return f"{most} {'Is there a digit too many?' if too_many else 'Is it this rig’s meter?'}"
    return ""


def room_doubt(value: float, band: tuple[float, float] | None, before: float | None) -> str:
    r"""What a room temperature means for the study, or "".

    >>> room_doubt(27.6, (22.0, 27.0), 26.1)
    '27.6\xa0°C is outside 22 to 27\xa0°C: runs made now count under other conditions.'
    >>> room_doubt(26.4, (22.0, 27.0), 24.9)
    'The room has risen by 1.5\xa0°C since it was first noted.'
    """
    if band is not None and not band[0] <= value <= band[1]:
        within = f"{band[0]:g} to {with_unit(f'{band[1]:g}', '°C')}"
        return f"{_degrees(value)} is outside {within}: runs made now count under other conditions."
    if before is not None and abs(value - before) >= 1.5 - 1e-9:
        moved = "risen" if value > before else "fallen"
        return f"The room has {moved} by {_degrees(abs(value - before))} since it was first noted."
    return ""


def _digit_missing(value: float, seen: Sequence[float]) -> bool:
    return FAR * min(seen) <= 10 * value <= max(seen) / FAR


def _watts(value: float) -> str:
    return with_unit(number(value), "W")


def _degrees(value: float) -> str:
    return with_unit(number(value, 1), "°C")


def as_typed(value: float | None) -> str:
    """A reading as it stands in its field.

    >>> as_typed(287.0), as_typed(23.45), as_typed(None)
    ('287', '23.45', '')
    """
    return "" if value is None else f"{value:g}"
