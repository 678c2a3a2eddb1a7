"""What a temperature log tells of a tuned part: its network and what is to be doubted of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from evenhand.desk.latest import Latest
from evenhand.desk.logs.readings import freed
from evenhand.desk.tuning.heat_reading import HeatRead, read_heat
from evenhand.errors import EvenhandError, NotFound
from evenhand.publish.heat_words import fell_words
from evenhand.records.heat import LoggedHeat
from evenhand.records.trials import Quantity, Tuned
from evenhand.stats.spread import Floats
from evenhand.store import heat as heat_store
from evenhand.store.trials import trials_of
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Band
from evenhand.tuning.fans import Levels, fan_levels, fit_by_fan
from evenhand.tuning.heat_doubts import Doubt, Held, doubts, held
from evenhand.tuning.heat_forecast import steady
from evenhand.tuning.heat_load import load_of
from evenhand.tuning.heat_log import HeatLog
from evenhand.tuning.heat_trials import contradicted
from evenhand.tuning.network_fit import Fit, fit_network, varied
from evenhand.tuning.throttled import Throttled

HIGH = 0.8  # of the load's watts: rows that draw as much are under load


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeatNow:
    """What one log of a tuned part tells; `trouble` says why it tells no network.

    `by_fan` are networks by the speed of the fan, where it ran at several; `fit` is that of the load's then.
    `fell` is where the part's clock fell under load.
    """

    tuned: Tuned
    heat: LoggedHeat
    read: HeatRead | None = None
    fit: Fit | None = None
    held: Held | None = None
    doubts: tuple[Doubt, ...] = ()
    by_fan: Mapping[float, Fit] = field(default_factory=dict)
    fell: Throttled | None = None
    trouble: EvenhandError | None = None

    @property
    def fell_settles(self) -> Band | None:
        """Where the part would have settled at the power at which its clock fell, in the room of the log."""
        if self.fit is None or self.fell is None or self.fell.watts is None or not varied(self.fit.log):
            return None
        return steady(self.fit, self.fell.watts)

    @property
    def fell_said(self) -> str:
        """Where its clock fell, as a sentence; "" where none did."""
        if self.fell is None:
            return ""
        return fell_words(self.fell, self.tuned.limit(Quantity.TEMPERATURE), self.fell_settles)


def heat_now(wb: Workbench, tuned: Tuned, heat: LoggedHeat) -> HeatNow:
    """What a log tells, in some tenths of a second. Bad logs raise nothing: their trouble is told in it."""
    key = (heat.log, heat.layout, heat.columns, heat.room_c, heat.from_s, heat.to_s)  # never changes
    told = replace(_LATEST.of(key, lambda: _told(wb, tuned, heat)), tuned=tuned, heat=heat)
    trials = [each for each in trials_of(wb, [heat.setup]) if each.part == heat.part]
    if told.fit is None or not contradicted(told.fit, heat, trials):
        return told
    return replace(told, doubts=(Doubt.TRIALS_DIFFER, *told.doubts))


_LATEST = Latest(8)


def _told(wb: Workbench, tuned: Tuned, heat: LoggedHeat) -> HeatNow:
    read = fell = None
    try:
        read = read_heat(wb, heat)
        fell = read.fell()
        found = _fitted(read.warmed, read.fan_kept)
    except EvenhandError as trouble:
        return HeatNow(tuned=tuned, heat=heat, read=read, fell=fell, trouble=freed(trouble))
    return HeatNow(
        tuned=tuned, heat=heat, read=read, fell=fell, fit=found.fit, held=held(found.fit),
        by_fan=found.by_fan, doubts=doubts(found.fit, fan=found.levels, wandered=found.wandered),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Fitted:
    fit: Fit
    levels: Levels | None = None
    wandered: bool = False
    by_fan: Mapping[float, Fit] = field(default_factory=dict)


def _fitted(log: HeatLog, fan: Floats | None) -> _Fitted:
    """The network; where the fan ran at several speeds, that of the one under load."""
    if fan is None or not np.isfinite(fan).any():
        return _Fitted(fit=fit_network(log))
    speeds = _between(fan)
    levels = fan_levels(speeds)
    if levels is None:
        return _Fitted(fit=fit_network(log), wandered=True)
    if np.unique(levels).size == 1:
        return _Fitted(fit=fit_network(log), levels=levels)
    fits = fit_by_fan(log, levels)
    loaded = levels[log.watts >= HIGH * load_of(log).watts]
    likeliest = max(fits, key=lambda level: int((loaded == level).sum()))
    by_speed = {float(np.median(speeds[levels == level])): fit for level, fit in sorted(fits.items())}
    return _Fitted(fit=fits[likeliest], levels=levels, by_fan=by_speed)


def _between(values: Floats) -> Floats:
    """Readings with those that are missing as the last one before them, or the first."""
    known = np.flatnonzero(np.isfinite(values))
    before = np.searchsorted(known, np.arange(values.size), side="right") - 1
    found: Floats = values[known[np.maximum(before, 0)]]
    return found


def heat_logs(wb: Workbench, setup: str, part: str) -> tuple[LoggedHeat, ...]:
    """The temperature logs of a tuned part that count, the last first."""
    return tuple(each for each in reversed(heat_store.heat_of(wb, [setup])) if each.part == part)


def telling_log(
    wb: Workbench, tuned: Tuned, logs: Sequence[LoggedHeat]
) -> tuple[HeatNow | None, Mapping[int, EvenhandError]]:
    """What the last log that has a network tells, and why later ones tell nothing, by their numbers.

    Of logs none of which has one it is the last; None without any. `logs` are the last first.
    """
    silent: dict[int, EvenhandError] = {}
    for heat in logs:
        now = heat_now(wb, tuned, heat)
        if now.trouble is None:
            return now, silent
        silent[heat.id] = now.trouble
    return (heat_now(wb, tuned, logs[0]) if logs else None), silent


def last_told(wb: Workbench, tuned: Tuned) -> HeatNow | None:
    """What the last log of a part that has a network tells; None without a log."""
    return telling_log(wb, tuned, heat_logs(wb, tuned.setup, tuned.part))[0]


def chosen_log(logs: Sequence[LoggedHeat], number: int, *, where: str) -> LoggedHeat:
    """The log of this number. Raises NotFound where there is none."""
    found = [each for each in logs if each.id == number]
    if found:
        return found[0]
    todo = f"name one of {', '.join(str(each.id) for each in logs)}" if logs else "bring one"
    raise NotFound(f"there is no temperature log {number}", where=where, todo=todo)
