"""A network held against the trials of its part: whether those that grew steady read what it says."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean

from evenhand.records.heat import LoggedHeat
from evenhand.records.trials import Trial
from evenhand.tuning.bands import Known
from evenhand.tuning.heat_doubts import HOLD
from evenhand.tuning.heat_forecast import steady
from evenhand.tuning.network_fit import Fit

AGREE_C = 2.0  # what a forecast is to hold by


def steady_trials(fit: Fit, heat: LoggedHeat, trials: Sequence[Trial]) -> tuple[Trial, ...]:
    """The trials at the log's clock and voltage that ran long enough to grow steady, with all that it takes.

    That is watts of the same meter, the room, the hottest reading, and nothing that was set otherwise.
    """
    if fit.log.room_c is None:
        return ()
    return tuple(
        each for each in trials
        if (each.clock_mhz, each.voltage_mv) == (heat.clock_mhz, heat.voltage_mv)
        and each.hours * 3600 >= HOLD * float(fit.seconds[-1])
        and each.watts is not None and each.watts_at is heat.watts_at
        and each.room_c is not None and each.hottest_c is not None
        and all(each.settings.get(name, value) == value for name, value in heat.settings.items())
    )  # fmt: skip


def warmer_by(fit: Fit, heat: LoggedHeat, trials: Sequence[Trial]) -> float | None:
    """By how much steady trials read warmer on average than the network says, in °C; None without any."""
    found = [
        (each.hottest_c or 0.0) - steady(fit, each.watts or 0.0, Known(value=each.room_c or 0.0)).value
        for each in steady_trials(fit, heat, trials)
    ]
    return fmean(found) if found else None


def contradicted(fit: Fit, heat: LoggedHeat, trials: Sequence[Trial]) -> bool:
    """Whether they lie further apart than a forecast is to hold."""
    apart = warmer_by(fit, heat, trials)
    return apart is not None and abs(apart) > AGREE_C
