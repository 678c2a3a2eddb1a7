"""The highest clock that a room and a cooler allow, by a temperature log and by what trials say of watts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.elastic import IN_STEP, Elasticity, elasticity_of
from evenhand.desk.tuning.heat import HeatNow
from evenhand.desk.tuning.standing import TuningNow
from evenhand.publish.tuning.heat_clocks import allowed_words, held_back_words, hotter_words, rate_words
from evenhand.records.trials import Limit, Meter, Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.advice import Advice, Withheld
from evenhand.tuning.bands import Band, Known
from evenhand.tuning.efficiency import Clocks, Cooled, clocks, highest_clock, rate_at
from evenhand.tuning.heat_outlook import HeatOutlook
from evenhand.tuning.metered import metered, whole_v
from evenhand.tuning.network_fit import varied
from evenhand.tuning.watts import Drawn

TOO_HOT = (Withheld.TOO_HOT, Withheld.TOO_HOT_BY_LOG)
SEED = 19  # of the draws behind bands: the same record gives the same bands


class NoClock(StrEnum):
    """Why no clock can be tied to a temperature."""

    NO_LIMIT = "no limit of its temperature by the maker is noted"
    NO_ROOM = "the room of the log is not on record"
    ONE_POWER = "the power of the log never changed, which tells no degrees per watt"
    NO_WATTS = "no trials tell what the part draws by the meter of this log"
    ONE_CLOCK = "fewer than two clocks have an advised voltage"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockAllowed:
    """The highest clock whose steady temperature is within the maker's limit, under the load of the trials.

    `clock_mhz` is None where not even the lowest clock with an advised voltage is; `at_top` says that it is
    the highest of these, so that heat holds nothing back. `rate` is that over stock's, by `elasticity`.
    `under` says that it holds under the other cooler that was asked about. Voltages are advised for rooms of
    up to `advised_c`: where `hotter`, none of the clocks is advised. `held_back` are clocks up to there at
    which nothing is advised in that very room, since a limit of temperature is passed by what was read.
    """

    load: str
    room_c: float
    advised_c: float
    limit: Limit
    lowest_mhz: float
    clock_mhz: Band | None
    at_top: bool
    rate: Band | None
    elasticity: Elasticity
    under: bool
    held_back: tuple[float, ...] = ()

    @property
    def hotter(self) -> bool:
        """Whether the room is hotter than those that voltages are advised for."""
        return self.room_c > self.advised_c


def clock_allowed(
    now: TuningNow, heat: HeatNow, found: HeatOutlook, elasticity: Elasticity = IN_STEP
) -> ClockAllowed | NoClock:
    """How far the clock may go in the room that is told of, or why nobody can tell."""
    if found.limit is None:
        return NoClock.NO_LIMIT
    if found.room_c is None or heat.fit is None:
        return NoClock.NO_ROOM
    if not varied(heat.fit.log):
        return NoClock.ONE_POWER
    power = _power(now, heat.heat.watts_at)
    if power is None:
        return NoClock.NO_WATTS
    advised = [advice for advice in now.advice if advice.meant_mv is not None]
    if len(advised) < 2:
        return NoClock.ONE_CLOCK
    at = _clocks(now.series.tuned, advised)
    whole = heat.fit.whole_known() if found.under is None else found.under.c_per_w
    cooled = Cooled(c_per_w=whole, room_c=Known(value=found.room_c))
    rng = np.random.default_rng(SEED)
    highest = highest_clock(power, cooled, at, found.limit.most, rng)
    stock = now.series.tuned.stock_clock_mhz
    return ClockAllowed(
        load=now.series.load, room_c=found.room_c, advised_c=now.goal.room_c, limit=found.limit,
        clock_mhz=highest, lowest_mhz=float(at.clock_mhz[0]), elasticity=elasticity,
        under=found.under is not None, at_top=highest is not None and highest.low >= float(at.clock_mhz[-1]),
        rate=None if highest is None else rate_at(highest, stock, elasticity.known, rng),
        held_back=() if highest is None or found.under is not None else _held_back(now, found, highest),
    )  # fmt: skip


def _held_back(now: TuningNow, found: HeatOutlook, highest: Band) -> tuple[float, ...]:
    return tuple(
        each.clock_mhz for each in now.advice
        if each.withheld in TOO_HOT and each.clock_mhz <= highest.value and found.room_c == now.goal.room_c
    )  # fmt: skip


def _power(now: TuningNow, meter: Meter) -> Drawn | None:
    found = [each.power for each in metered(now.series.tuned, now.series.trials) if each.meter is meter]
    return found[0] if found else None


def _clocks(tuned: Tuned, advised: list[Advice]) -> Clocks:
    return clocks(
        np.array([each.clock_mhz for each in advised]),
        np.array([whole_v(tuned, each.meant_mv or 0.0) for each in advised]),
    )


def clock_of_study(
    wb: Workbench, record: StudyOnRecord, now: TuningNow, heat: HeatNow, found: HeatOutlook
) -> ClockAllowed | NoClock:
    """The same, work following the clock as the tests of a study measured it."""
    return clock_allowed(now, heat, found, elasticity_of(wb, record, now.series.tuned))


def allowed_said(found: ClockAllowed | NoClock) -> Iterator[str]:
    """How far the clock may go and what that brings, or why nobody can tell, as sentences."""
    if isinstance(found, NoClock):
        yield f"How far the clock may go is not told: {found.value}."
        return
    yield allowed_words(
        found.clock_mhz, found.limit, room_c=found.room_c, load=found.load,
        lowest_mhz=found.lowest_mhz, at_top=found.at_top, under=found.under,
    )  # fmt: skip
    if found.held_back:
        yield held_back_words(found.held_back)
    if found.hotter:
        yield hotter_words(found.room_c, found.advised_c)
    if found.rate is not None:
        yield rate_words(found.rate, len(found.elasticity.tests))
