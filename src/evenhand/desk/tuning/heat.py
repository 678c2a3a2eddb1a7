"""What a temperature log tells of a tuned part: its network and what is to be doubted of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from evenhand.desk.latest import Latest
from evenhand.desk.logs.readings import freed
from evenhand.desk.tuning.heat_reading import HeatRead, read_heat
from evenhand.errors import EvenhandError, NotEnoughRuns, NotFound
from evenhand.publish.tuning.heat import fell_words
from evenhand.publish.tuning.heat_logs import passed_over_words
from evenhand.records.heat import LoggedHeat
from evenhand.records.trials import Quantity, Tuned
from evenhand.stats.spread import Floats
from evenhand.store import heat as heat_store
from evenhand.store.trials import trials_of
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Band
from evenhand.tuning.fans import Levels, fan_levels, fit_by_fan
from evenhand.tuning.heat_choice import Otherwise, Settled, lacking, most_telling, otherwise, settled
from evenhand.tuning.heat_doubts import Doubt, Held, doubts, held
from evenhand.tuning.heat_forecast import steady
from evenhand.tuning.heat_load import load_of
from evenhand.tuning.heat_log import HeatLog
from evenhand.tuning.heat_outlook import HeatAsked, HeatOutlook, outlook
from evenhand.tuning.heat_rest import RestChecked, rest_checked
from evenhand.tuning.heat_trials import contradicted
from evenhand.tuning.network_fit import Fit, fit_network, varied
from evenhand.tuning.throttled import Throttled

HIGH = 0.8  # of the load's watts: rows that draw as much are under load


@dataclass(frozen=True, slots=True, kw_only=True)
class LaterLog:
    """A later log that is passed over, by its number, and where it settled; None where it shows no such."""

    number: int
    settled: Settled | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeatNow:
    """What one log of a tuned part tells; `trouble` says why it tells no network.

    `by_fan` are networks by the speed of the fan, where it ran at several; `fit` is that of the load's then.
    `fell` is where the part's clock fell under load, `rest` how the network holds at rest after load. `later`
    are logs that were brought after this one and are passed over for it, `earlier` the number of one before
    it that tells as much, where the two disagree.
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
    rest: RestChecked | None = None
    later: tuple[LaterLog, ...] = ()
    earlier: tuple[int, Otherwise] | None = None

    def asked(self, asked: HeatAsked) -> HeatOutlook | None:
        """What its network says of a room, a power and a cooler; None without one."""
        return None if self.fit is None else outlook(self.fit, self.tuned, asked, self.rest)

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


_LATEST = Latest(16)

MOST_LOOKED = 8
"""Of so many of the last logs that have a network the one that tells most is told of."""


def _told(wb: Workbench, tuned: Tuned, heat: LoggedHeat) -> HeatNow:
    read = fell = None
    try:
        read = read_heat(wb, heat)
        fell = read.fell()
        found = _fitted(read.warmed, read.fan_kept)
    except EvenhandError as trouble:
        return HeatNow(tuned=tuned, heat=heat, read=read, fell=fell, trouble=freed(trouble))
    rest = rest_checked(found.fit)
    return HeatNow(
        tuned=tuned, heat=heat, read=read, fell=fell, fit=found.fit, held=held(found.fit), rest=rest,
        by_fan=found.by_fan, doubts=doubts(found.fit, fan=found.levels, wandered=found.wandered, rest=rest),
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
    """What the log that tells most says, and why later ones are passed over, by their numbers.

    Of several that tell as much it is the last, of logs none of which has a network the last of all; None
    without any. `logs` are the last first.
    """
    looked = _looked(wb, tuned, logs)
    fitted = [now for now in looked if now.fit is not None]
    silent = {now.heat.id: now.trouble for now in looked if now.trouble is not None}
    if not fitted:
        return (looked[0] if looked else None), silent
    teller = fitted[most_telling([now.doubts for now in fitted])]
    later = [now for now in fitted if now.heat.id > teller.heat.id]
    for now in later:
        lack = lacking(now.doubts, teller.doubts)
        assert lack is not None  # else it would tell as much, and is later
        todo = "ask for it by its number, or take the earlier one back where it holds no more"
        silent[now.heat.id] = NotEnoughRuns(passed_over_words(lack, teller.heat.id), todo=todo)
    silent = {number: why for number, why in silent.items() if number > teller.heat.id}
    return _held_against(wb, _beside(teller, later), logs), silent


def _held_against(wb: Workbench, teller: HeatNow, logs: Sequence[LoggedHeat]) -> HeatNow:
    """A log, doubted first where the last one before it that tells as much says otherwise of its load.

    What was set otherwise for the two, or read by another meter, is no contradiction.
    """
    own = teller.fit
    before = [each for each in logs if each.id < teller.heat.id and _alike(each, teller.heat)]
    for heat in before[:MOST_LOOKED] if own is not None else ():
        now = heat_now(wb, teller.tuned, heat)
        if now.fit is None or own is None or lacking(now.doubts, teller.doubts) is not None:
            continue
        found = otherwise(own, now.fit)
        if found is None:
            return teller
        doubted = (Doubt.EARLIER_DIFFERS, *teller.doubts)
        return replace(teller, earlier=(heat.id, found), doubts=doubted)
    return teller


def _alike(heat: LoggedHeat, teller: LoggedHeat) -> bool:
    both = set(heat.settings) & set(teller.settings)
    same = all(heat.settings[name] == teller.settings[name] for name in both)
    return same and heat.watts_at is teller.watts_at


def _looked(wb: Workbench, tuned: Tuned, logs: Sequence[LoggedHeat]) -> list[HeatNow]:
    """What the last logs tell, back to one that lacks nothing."""
    looked: list[HeatNow] = []
    for heat in logs:
        looked.append(heat_now(wb, tuned, heat))
        whole = looked[-1].fit is not None and lacking(looked[-1].doubts, ()) is None
        if whole or sum(now.fit is not None for now in looked) == MOST_LOOKED:
            break
    return looked


def _beside(teller: HeatNow, later: Sequence[HeatNow]) -> HeatNow:
    """A log with what later ones say beside it: where they settled by the same meter."""
    found = tuple(
        LaterLog(
            number=now.heat.id,
            settled=settled(now.fit, teller.fit)
            if now.fit and teller.fit and now.heat.watts_at is teller.heat.watts_at
            else None,
        )
        for now in later
    )
    differs = any(each.settled is not None and each.settled.differs for each in found)
    doubted = (Doubt.LATER_DIFFERS, *teller.doubts) if differs else teller.doubts
    return replace(teller, later=found, doubts=doubted)


def last_told(wb: Workbench, tuned: Tuned) -> HeatNow | None:
    """What the log of a part tells that tells most; None without a log."""
    return telling_log(wb, tuned, heat_logs(wb, tuned.setup, tuned.part))[0]


def chosen_log(logs: Sequence[LoggedHeat], number: int, *, where: str) -> LoggedHeat:
    """The log of this number. Raises NotFound where there is none."""
    found = [each for each in logs if each.id == number]
    if found:
        return found[0]
    todo = f"name one of {', '.join(str(each.id) for each in logs)}" if logs else "bring one"
    raise NotFound(f"there is no temperature log {number}", where=where, todo=todo)
