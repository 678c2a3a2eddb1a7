"""Trials as numbers that a model reads: how long each point held, and how often it failed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.trials import Outcome, Trial
from evenhand.stats.spread import Floats

MOST_COUNTED = 10
"""The errors of a trial weigh no more than so many: they come in bursts, and more of them are no surer."""

MOST_RATED = 100
"""A trial that counted more tells only which rate it is not below: a load counts no faster than it works."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What trials of one part under one load tell, gathered by point; arrays of shape (N,).

    At `voltage_mv`, `clock_mhz` and `room_c` the part ran for `hours` and failed `failures` times at
    known moments. `late` are failures that were only found later: columns voltage, clock, room, hours it is
    known to have held, hours by which it had failed; shape (M, 5).
    """

    voltage_mv: Floats
    clock_mhz: Floats
    room_c: Floats
    hours: Floats
    failures: Floats
    late: Floats

    @property
    def failed(self) -> int:
        """How many failures there were in all."""
        return int(self.failures.sum()) + len(self.late)


def evidence_of(trials: Sequence[Trial], *, room_c: float, quickest_h: float = 0.0) -> Evidence:
    """The trials by point. One without a room's temperature is taken to have run at `room_c`.

    A part that failed and errors that a load counted and went on after are failures alike. More than
    `MOST_COUNTED` are that many in the share of the hours in which so many came; of more than `MOST_RATED`
    it is only known that the part had failed by then. A failure that came sooner
    than `quickest_h` had come by then. What was throttled or stopped counts with the hours until then.
    """
    hours: dict[tuple[float, float, float], float] = defaultdict(float)
    failures: dict[tuple[float, float, float], int] = defaultdict(int)
    late: list[tuple[float, ...]] = []
    for trial in trials:
        room = room_c if trial.room_c is None else trial.room_c
        point = (trial.voltage_mv, trial.clock_mhz, room)
        if trial.outcome.failed and trial.found_after_h is not None and not trial.errors:
            late.append((*point, trial.hours, trial.found_after_h))
            continue
        failed = failures_of(trial)
        share = min(MOST_COUNTED / failed, 1.0) if failed else 1.0
        if failed > MOST_RATED:
            late.append((*point, 0.0, max(trial.hours * share, quickest_h)))
            continue
        if trial.outcome.failed and trial.hours < quickest_h:
            late.append((*point, 0.0, quickest_h))
            continue
        hours[point] += trial.hours * share
        failures[point] += min(failed, MOST_COUNTED)
    points = np.array(sorted(hours), dtype=float).reshape(-1, 3)
    return Evidence(
        voltage_mv=points[:, 0], clock_mhz=points[:, 1], room_c=points[:, 2],
        hours=np.array([hours[point] for point in sorted(hours)], dtype=float),
        failures=np.array([failures[point] for point in sorted(hours)], dtype=float),
        late=np.array(late, dtype=float).reshape(-1, 5),
    )  # fmt: skip


def failures_of(trial: Trial) -> int:
    """How often the part failed in a trial: each counted error, and the failure that ended it.

    A crash that comes after counted errors is one failure more, since the errors did not end the trial; a
    trial that ended with "error" or a wrong result ended with the last of those it counted.
    """
    ended = trial.outcome.failed
    if trial.outcome in (Outcome.ERROR, Outcome.WRONG_RESULT):
        return max(trial.errors, 1)
    return trial.errors + ended
