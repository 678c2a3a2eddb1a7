"""The hours of trials by the room in which they ran."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.records.trials import Trial
from evenhand.tuning.evidence import failures_of


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomHours:
    """Hours and failures in rooms from `low_c` to `high_c`; both None where the room was not read."""

    low_c: float | None
    high_c: float | None
    hours: float
    failures: int


def hours_by_room(trials: Sequence[Trial], *, most: int) -> tuple[RoomHours, ...]:
    """Trials by whole degrees of their room, the coolest first and those that were not read last.

    Where there are more than `most` degrees, neighbours are taken together, as evenly as can be.
    """
    degrees = sorted({round(trial.room_c) for trial in trials if trial.room_c is not None})
    each = max(-(-len(degrees) // most), 1)
    shares = [degrees[at : at + each] for at in range(0, len(degrees), each)]
    found = [_hours(trials, share[0], share[-1]) for share in shares]
    unread = [trial for trial in trials if trial.room_c is None]
    return (*found, *([_summed(unread, None, None)] if unread else []))


def _hours(trials: Sequence[Trial], low: int, high: int) -> RoomHours:
    own = [trial for trial in trials if trial.room_c is not None and low <= round(trial.room_c) <= high]
    return _summed(own, float(low), float(high))


def _summed(trials: Sequence[Trial], low: float | None, high: float | None) -> RoomHours:
    return RoomHours(
        low_c=low, high_c=high, hours=sum(trial.hours for trial in trials),
        failures=sum(failures_of(trial) for trial in trials),
    )  # fmt: skip
