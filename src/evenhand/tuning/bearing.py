"""How a maker's limits of temperature and power bear on a point: by what trials read there and beside it.

Taken for true: a point of more clock and more voltage is no cooler and draws no less. So a reading past a
limit holds for every such point beyond its own, whenever it was read; and where nothing was read at a point,
the reading of the nearest one beyond it stands for it. A trial that ended within minutes never came to its
full warmth: it can only speak against a point.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.records.trials import Meter, Quantity, Trial, Tuned

SETTLED_H = 0.99 / 6
"""From so many hours on a reading speaks for a point as well: ten minutes, as trials of the walk have."""

SLOPE = 0.5
"""Millivolts that weigh as much as a megahertz where it is asked which point is the nearest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settling:
    """What a temperature log tells: degrees above the room for each watt, at steady load, read by a meter.

    `disputed` says that an earlier log which tells as much says otherwise.
    """

    c_per_w: float
    meter: Meter
    disputed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """The highest that was read at a point; `settled` where the load ran long enough to speak for it.

    `by_log` says that watts were read, and that a temperature log says how warm these make it at last.
    """

    clock_mhz: float
    voltage_mv: float
    value: float
    settled: bool
    by_log: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """A limit of temperature (°C, in the hottest room) or power (W, at the part), with what was read."""

    quantity: Quantity
    most: float
    readings: tuple[Reading, ...] = ()

    def at_least(self, clock_mhz: float, voltage_mv: float) -> float | None:
        """What a point comes to at least: the highest that was read at it or at an easier one."""
        below = (
            each.value for each in self.readings
            if each.clock_mhz <= clock_mhz and each.voltage_mv <= voltage_mv
        )  # fmt: skip
        return max(below, default=None)

    def expected(self, clock_mhz: float, voltage_mv: float) -> float | None:
        """What a point is expected to come to; None where nothing was read at it or beyond it for long."""
        beyond = [
            each for each in self.readings
            if each.settled and each.clock_mhz >= clock_mhz and each.voltage_mv >= voltage_mv
        ]  # fmt: skip
        if not beyond:
            return None

        def far(each: Reading) -> tuple[float, float]:
            away = each.voltage_mv - voltage_mv + SLOPE * (each.clock_mhz - clock_mhz)
            return away, -each.value

        least = self.at_least(clock_mhz, voltage_mv)
        nearest = min(beyond, key=far).value
        return nearest if least is None else max(nearest, least)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """The limits of temperature and power that are on record of a part; without any all is within."""

    bounds: tuple[Bound, ...] = ()

    def past(self, clock_mhz: float, voltage_mv: float) -> Quantity | None:
        """Of what a point is expected past the limit; None where it is within or nothing tells."""
        for bound in self.bounds:
            told = bound.expected(clock_mhz, voltage_mv)
            least = bound.at_least(clock_mhz, voltage_mv)
            if any(each is not None and each > bound.most for each in (told, least)):
                return bound.quantity
        return None

    def past_by_log(self, clock_mhz: float, voltage_mv: float) -> bool:
        """Whether a point is past a limit by what a temperature log says alone, and by no reading."""
        read = (
            replace(bound, readings=tuple(each for each in bound.readings if not each.by_log))
            for bound in self.bounds
        )
        within = Bearing(bounds=tuple(read)).past(clock_mhz, voltage_mv) is None
        return within and self.past(clock_mhz, voltage_mv) is not None

    def barred(self, clock_mhz: float, voltage_mv: float) -> Quantity | None:
        """Of what the limit was passed at a point or at an easier one, so that nobody is sent there."""
        for bound in self.bounds:
            least = bound.at_least(clock_mhz, voltage_mv)
            if least is not None and least > bound.most:
                return bound.quantity
        return None

    def unchecked(self, clock_mhz: float, voltage_mv: float) -> tuple[Quantity, ...]:
        """The limits that nothing was held against at a point, since nothing was read there or beyond it."""
        return tuple(bound.quantity for bound in self.bounds if bound.expected(clock_mhz, voltage_mv) is None)


NO_BEARING = Bearing()
"""Where no limit of temperature or power is on record."""


def bearing_of(
    tuned: Tuned,
    trials: Sequence[Trial],
    *,
    hottest_c: float,
    room_c: float,
    settling: Settling | None = None,
) -> Bearing:
    """The limits of a part with what its trials read. Rooms in °C; unread ones are taken for `room_c`.

    A part is warmer by a degree where its room is. Watts count where they were read at the part; by a log of
    temperatures (`settling`) those of its own meter tell how warm a point becomes at last.
    """
    heat, power = tuned.limit(Quantity.TEMPERATURE), tuned.limit(Quantity.POWER)
    found = []
    if heat is not None:
        read = (*_warmth(trials, hottest_c, room_c), *_at_last(trials, hottest_c, settling))
        found.append(Bound(quantity=Quantity.TEMPERATURE, most=heat.most, readings=read))
    if power is not None:
        drawn = tuple(_watts(trials, Meter.PART, 1.0, 0.0))
        found.append(Bound(quantity=Quantity.POWER, most=power.most, readings=drawn))
    return Bearing(bounds=tuple(found))


def _warmth(trials: Sequence[Trial], hottest_c: float, room_c: float) -> Iterator[Reading]:
    """What was read, as warm as it would be in the hottest room; not what was told cooler than its room."""
    for trial in trials:
        room = room_c if trial.room_c is None else trial.room_c
        if trial.hottest_c is not None and trial.hottest_c >= room:
            yield _reading(trial, trial.hottest_c - room + hottest_c)


def _at_last(trials: Sequence[Trial], hottest_c: float, settling: Settling | None) -> Iterator[Reading]:
    if settling is not None:
        for each in _watts(trials, settling.meter, settling.c_per_w, hottest_c):
            yield replace(each, by_log=True)


def _watts(trials: Sequence[Trial], meter: Meter, each_w: float, above: float) -> Iterator[Reading]:
    for trial in trials:
        if trial.watts is not None and trial.watts_at is meter:
            yield _reading(trial, above + each_w * trial.watts)


def _reading(trial: Trial, value: float) -> Reading:
    return Reading(
        clock_mhz=trial.clock_mhz, voltage_mv=trial.voltage_mv, value=value,
        settled=trial.hours >= SETTLED_H,
    )  # fmt: skip
