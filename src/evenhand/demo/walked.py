"""How the trials of the example's tuned parts came one after another: as the plan walks, then soaks."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from evenhand.records.trials import Trial, Tuned
from evenhand.tuning.mapping import map_of
from evenhand.tuning.planning import WALK_HOURS, tried_points, walk_trial

Asked = tuple[float, float, float]
"""Clock in MHz, voltage in mV, and for how many hours."""

Try = Callable[[Asked, datetime], Trial]
"""One trial of what was asked for, begun at that time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """When the first trial began, and how long it takes to set the next point and start again."""

    first: datetime
    pause: timedelta


def walked(tuned: Tuned, soaks: Iterable[Asked], tried: Try, sitting: Sitting) -> tuple[Trial, ...]:
    """Every trial of a part, in the order in which they were made; begun to the minute."""
    made: list[Trial] = []
    grid = map_of(tuned, ())
    while (found := walk_trial(grid, tried_points(grid, made))) is not None:
        made.append(tried((found.clock_mhz, found.voltage_mv, WALK_HOURS), _begun(made, sitting)))
    for asked in soaks:
        made.append(tried(asked, _begun(made, sitting)))
    return tuple(made)


def _begun(before: list[Trial], sitting: Sitting) -> datetime:
    last = before[-1] if before else None
    if last is None or last.at is None:
        return sitting.first
    return (last.at + timedelta(hours=last.hours) + sitting.pause).replace(second=0, microsecond=0)
