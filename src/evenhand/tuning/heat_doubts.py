"""What a log cannot tell, said beside what it does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from evenhand.tuning.fans import Levels
from evenhand.tuning.heat_load import holds
from evenhand.tuning.heat_log import HeatLog
from evenhand.tuning.heat_rest import RestChecked
from evenhand.tuning.network_fit import Fit, varied

HOLD = 3.0
"""Time constants of the slowest stage after which a part is called steady: within 5 % of its end."""

WIDE = 2.0  # a time constant whose band is wider than its half and its double is hardly known
LEFT_OVER_C = 1.5  # noise of 1 °C in whole degrees scatters by 1.04 °C; what is left beyond this has a cause
FEW, ABOVE_C = 5, 2.0  # a log that is never warmer than its first five readings by more than this only cools
LEAST_EXPLAINED = 0.5  # of a temperature's changes; below this they are mostly something else's


class Doubt(StrEnum):
    """A reason to trust less in a network than its bands say, with what is so."""

    ROOM_UNKNOWN = (
        "the room's temperature is not on record: degrees above it, and other rooms, cannot be told"
    )
    POWER_CONSTANT = (
        "the power never changed: degrees per watt cannot be told from a room that was read wrong, and one "
        "stage is taken for the whole"
    )
    GAP_CARRIED = "rows are missing: the part is taken to have drawn meanwhile what it drew before and after"
    GAP_BEGUN_ANEW = (
        "rows or watts are missing where the power changed: what was stored by then is fitted anew"
    )
    STRETCHES_LEFT_OUT = (
        "the log falls into more stretches than are used: those beyond the eight longest, and those with "
        "hardly a temperature, are left out"
    )
    TOO_SHORT = (
        "the log is shorter than three times its slowest time constant, which is told from its begin alone"
    )
    HARDLY_KNOWN = "a time constant may be twice as long, or half"
    NOT_HELD = "no power was held for three times the slowest time constant: the steady state was not seen"
    ONLY_FALLS = "the log only cools down: what load does is told from that alone"
    QUICKER_THAN_ROWS = "a stage is as quick as the rows: how quick is not told"
    FAN_CHANGED = "the fan changed its level: one network for all of them is none of theirs"
    FAN_WANDERED = "the fan kept changing: fix it for a log, since degrees per watt hang on it"
    UNRELATED = "the temperature does not follow the power: it may be of another part, or stand still"
    TRIALS_DIFFER = (
        "steady trials at the clock and voltage of this log read more than 2 K off what it says of their "
        "watts and rooms: a fan, a case or a sensor was not as it was then"
    )
    LATER_DIFFERS = (
        "a later log settled more than 2 K off what this one says of its watts and room: a fan, a cooler or "
        "a sensor is no longer as it was"
    )
    EARLIER_DIFFERS = (
        "an earlier log that tells as much says otherwise by more than 2 °C: a fan, a cooler or a sensor is "
        "no longer as it was, or one of the two is wrong; take back the one that holds no more"
    )
    REST_DIFFERS = (
        "at rest after load readings lie off what the network of all other rows says, as where a part beside "
        "this one draws another share of the watts then: it tells of load alone"
    )
    LEFT_OVER = (
        "readings stray from the network by more than they scatter: something else than this power moved "
        "them, such as a fan, a part beside it, or power that swings between rows"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """The longest time for which the power stayed, in seconds, and how long it should have."""

    longest_s: float
    needed_s: float

    @property
    def enough(self) -> bool:
        """Whether a steady state was seen."""
        return self.longest_s >= self.needed_s


def held(fit: Fit) -> Held:
    """How long the power was held, and how long it takes before the part may be called steady."""
    return Held(longest_s=longest_hold_s(fit.log), needed_s=HOLD * float(fit.seconds[-1]))


def longest_hold_s(log: HeatLog) -> float:
    """The longest time in which the watts neither changed by a tenth for ten rows nor were unknown."""
    return max(each.seconds for each in holds(log))


def doubts(
    fit: Fit, *, fan: Levels | None = None, wandered: bool = False, rest: RestChecked | None = None
) -> tuple[Doubt, ...]:
    """All that is to be doubted of a network. `fan` is the level in each row of its log, where known."""
    found = [*_of_log(fit.log), *_of_stages(fit)]
    if rest is not None and rest.differs:
        found.append(Doubt.REST_DIFFERS)
    if fan is not None and np.unique(fan).size > 1:
        found.append(Doubt.FAN_CHANGED)
    if wandered:
        found.append(Doubt.FAN_WANDERED)
    return tuple(found)


def _of_log(log: HeatLog) -> Iterator[Doubt]:
    if log.room_c is None:
        yield Doubt.ROOM_UNKNOWN
    if not varied(log):
        yield Doubt.POWER_CONSTANT
    if log.carried:
        yield Doubt.GAP_CARRIED
    if log.stretches > 1:
        yield Doubt.GAP_BEGUN_ANEW
    if log.left_out:
        yield Doubt.STRETCHES_LEFT_OUT
    known = log.temperature_c[log.read]
    first, last = float(np.median(known[:FEW])), float(np.median(known[-FEW:]))
    if last < first - ABOVE_C and float(np.quantile(known, 0.98)) < first + ABOVE_C:
        yield Doubt.ONLY_FALLS


def _of_stages(fit: Fit) -> Iterator[Doubt]:
    if fit.log.span_s < HOLD * fit.seconds[-1]:
        yield Doubt.TOO_SHORT
    elif not held(fit).enough:
        yield Doubt.NOT_HELD
    if fit.seconds[0] < 2 * fit.log.step_s:
        yield Doubt.QUICKER_THAN_ROWS
    if any(band.high > WIDE * band.value for band in fit.seconds_bands() if band.value > 2 * fit.log.step_s):
        yield Doubt.HARDLY_KNOWN
    if fit.explained < LEAST_EXPLAINED or not fit.c_per_w.sum() > 0:
        yield Doubt.UNRELATED
    if fit.spread_c > LEFT_OVER_C:
        yield Doubt.LEFT_OVER
