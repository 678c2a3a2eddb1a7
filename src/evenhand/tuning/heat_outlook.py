"""What a network says of a room, a power and a cooler: how warm it gets, and when at which limit."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from evenhand.errors import BadRecord, EvenhandError, NotEnoughRuns
from evenhand.records.trials import Limit, Quantity, Tuned
from evenhand.tuning.bands import Band, Known, reach
from evenhand.tuning.heat_forecast import headroom, other_cooler, sink_stage, steady, steady_under
from evenhand.tuning.heat_load import load_of, rest_of
from evenhand.tuning.heat_rest import RestChecked
from evenhand.tuning.network_fit import Fit, varied
from evenhand.tuning.onset import power_at, reached_after, room_at

SAY_ROOM = "note the log again with its room; until then only its own room is told of"

RESTS = 0.9  # of a power: what draws as much or more is no rest from it


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatAsked:
    """What is asked beyond the log: another room, another power, another cooler's °C/W with its doubt."""

    room_c: float | None = None
    watts: float | None = None
    cooler_c_per_w: float | None = None
    cooler_off: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Under:
    """The steady state under another cooler: °C/W in all, the temperature, and what is left to the limit.

    `own` are the °C/W that were given for it, and `instead_of` those of the whole stage that they replace.
    """

    c_per_w: Known
    own: Known
    instead_of: Band
    steady: Band
    headroom: Band | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatOutlook:
    """What a network says of one room and one power.

    `room_c` is None where nobody read the log's own: `steady` is that of its room then, whatever it was.
    Without a maker's limit there is no `headroom`, and nothing is reached. `at_limit_w` is the power and
    `at_limit_room_c` the room that would lead to the limit; `reached_s` the time from `rest_w` until it is,
    None where it never is. `no_room` and `no_cooler` say why what was asked is not told. `rest` is how the
    network holds at rest after load, None where the log does not show it; `low` says that so little power is
    told of that this matters.
    """

    watts: float
    rest_w: float
    room_c: float | None
    steady: Band
    limit: Limit | None = None
    headroom: Band | None = None
    at_limit_w: Band | None = None
    at_limit_room_c: Band | None = None
    reached_s: Band | None = None
    under: Under | None = None
    no_room: EvenhandError | None = None
    no_cooler: EvenhandError | None = None
    rest: RestChecked | None = None
    low: bool = False

    @property
    def load_alone(self) -> bool:
        """Whether what is told holds under load, and not at rest."""
        return self.rest is not None and self.rest.differs and not self.low


def outlook(fit: Fit, tuned: Tuned, asked: HeatAsked, rest: RestChecked | None = None) -> HeatOutlook:
    """What is told. Where nothing is asked: the hottest room that the part has to run in, the log's load.

    Of a log whose power never changed only where it settles at that power in its own room, without a band.
    """
    if not varied(fit.log):
        return _as_logged(fit, tuned, asked)
    watts = load_of(fit.log).watts if asked.watts is None else asked.watts
    limit, room = tuned.limit(Quantity.TEMPERATURE), _room(fit, tuned, asked)
    known = None if room is None else Known(value=room)
    left = headroom(fit, watts, limit, known)
    found = HeatOutlook(
        watts=watts, rest_w=_rest(fit, watts), room_c=room, limit=limit,
        steady=steady(fit, watts, known), headroom=None if left is None else left.by_c, rest=rest,
        low=watts < (load_of(fit.log).watts / 2 if rest is None else rest.middle_w),
    )  # fmt: skip
    if fit.log.room_c is None and asked.room_c is not None:
        found = replace(found, no_room=_unread())
    if known is not None and limit is not None and fit.c_per_w.sum() > 0:
        found = _to_limit(found, fit, known, limit.most)
    return found if asked.cooler_c_per_w is None else _cooled(found, fit, asked)


def _as_logged(fit: Fit, tuned: Tuned, asked: HeatAsked) -> HeatOutlook:
    """Where it settles as it was logged, and that nothing else that is asked can be told."""
    watts, limit = load_of(fit.log).watts, tuned.limit(Quantity.TEMPERATURE)
    at, room = as_known(fit, steady(fit, watts)), fit.log.room_c
    other = asked.room_c is not None or asked.watts is not None
    return HeatOutlook(
        watts=watts, rest_w=0.0, room_c=None if room is None else float(np.median(room)), limit=limit,
        steady=at, headroom=below(limit, at), no_room=_one_power() if other else None,
        no_cooler=None if asked.cooler_c_per_w is None else _one_power(),
    )  # fmt: skip


def as_known(fit: Fit, band: Band) -> Band:
    """A band of temperatures or °C/W; without ends where the power of the log never changed.

    What the room was read wrong by, and a slower stage that does not show, are in no such band.
    """
    return band if varied(fit.log) else Band(value=band.value, low=-math.inf, high=math.inf)


def _one_power() -> NotEnoughRuns:
    found = "the power of the log never changed, so that no other room, power or cooler is told of"
    return NotEnoughRuns(found, todo="bring a log of rest, then load, then rest again")


def _room(fit: Fit, tuned: Tuned, asked: HeatAsked) -> float | None:
    """The room that is told of; None where the log's own is not on record."""
    if fit.log.room_c is None:
        return None
    wanted = tuned.hottest_room_c if asked.room_c is None else asked.room_c
    return float(np.median(fit.log.room_c)) if wanted is None else wanted


def _rest(fit: Fit, watts: float) -> float:
    """The power that the log rested at; 0 where it never rested at less than what is asked about."""
    rest = rest_of(fit.log).watts
    return rest if rest < RESTS * watts else 0.0


def _unread() -> NotEnoughRuns:
    return NotEnoughRuns("the room of the log is not on record", todo=SAY_ROOM)


def _to_limit(found: HeatOutlook, fit: Fit, room: Known, limit_c: float) -> HeatOutlook:
    return replace(
        found, at_limit_w=power_at(fit, limit_c, room), at_limit_room_c=room_at(fit, limit_c, found.watts),
        reached_s=reached_after(fit, limit_c, found.watts, room, from_w=found.rest_w),
    )  # fmt: skip


def _cooled(found: HeatOutlook, fit: Fit, asked: HeatAsked) -> HeatOutlook:
    """The same with what another cooler does, or why that is not told."""
    if found.room_c is None:
        return replace(found, no_cooler=_unread())
    own = Known(value=asked.cooler_c_per_w or 0.0, sd=asked.cooler_off)
    if reach() * own.sd >= own.value:
        return replace(found, no_cooler=_too_vague(own))
    try:
        whole = other_cooler(fit, own)
    except NotEnoughRuns as refused:
        return replace(found, no_cooler=refused)
    at = steady_under(whole, found.watts, Known(value=found.room_c))
    under = Under(
        c_per_w=whole, own=own, instead_of=fit.c_per_w_bands()[sink_stage(fit)], steady=at,
        headroom=below(found.limit, at),
    )  # fmt: skip
    return replace(found, under=under)


def _too_vague(own: Known) -> BadRecord:
    """That a cooler may as well be none, or cool below the room, by what is known of it."""
    return BadRecord(
        f"a cooler of {own.value:g} ± {own.sd:g} °C/W may have none or less, by the doubt that is given",
        todo="say it with a smaller doubt",
    )  # fmt: skip


def below(limit: Limit | None, at: Band) -> Band | None:
    """How far a temperature stays below a limit, in °C; None without one."""
    if limit is None:
        return None
    return Band(value=limit.most - at.value, low=limit.most - at.high, high=limit.most - at.low)
