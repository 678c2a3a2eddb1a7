"""The clock that does the most work for a joule, and the highest one that a limit of temperature allows.

Work per second grows with the clock to the power of its measured elasticity β; watts follow from the voltage
that each clock needs and, where a network is given, from the temperature that those very watts lead to.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from evenhand.errors import BadRecord
from evenhand.stats.spread import Floats
from evenhand.tuning.bands import Band, Known, band_of, reach
from evenhand.tuning.watts import Drawn

DRAWS = 500
ROUNDS = 60  # of watts and temperature, each from the other, until neither moves
SETTLED_C, RUNAWAY_C, LEAST_W = 1e-3, 500.0, 1e-9
FINER = 20  # clocks between two of the grid, among which the highest that holds is looked for


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Clocks:
    """Clocks in MHz, rising, each with the voltage in V that it needs; both of shape (n,)."""

    clock_mhz: Floats
    voltage_v: Floats

    def finer(self) -> Clocks:
        """The same with clocks in between, their voltages along straight lines."""
        clocks = np.unique(np.concatenate([
            np.linspace(a, b, FINER + 1) for a, b in zip(self.clock_mhz[:-1], self.clock_mhz[1:], strict=True)
        ]))  # fmt: skip
        return Clocks(clock_mhz=clocks, voltage_v=np.interp(clocks, self.clock_mhz, self.voltage_v))


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooled:
    """What cools a part: degrees per watt in all, by the meter that tells its watts, and the room."""

    c_per_w: Known
    room_c: Known


@dataclass(frozen=True, slots=True, kw_only=True)
class Efficient:
    """The clock with the most work per joule, with its band, and what it gains over stock there, as a ratio.

    `at_an_end` says that it is the lowest or highest of the clocks asked about: the best may lie beyond.
    """

    clock_mhz: Band
    gain: Band
    rate: Band
    at_an_end: bool


def clocks(clock_mhz: Floats, voltage_v: Floats) -> Clocks:
    """Clocks with their voltages. Raises `BadRecord` where they do not rise, or a value is not above 0."""
    f, v = np.asarray(clock_mhz, float), np.asarray(voltage_v, float)
    if f.size < 2 or f.shape != v.shape or not (np.diff(f) > 0).all() or not (np.r_[f, v] > 0).all():
        raise BadRecord(
            "clocks do not rise, or one has no voltage",
            todo="enter each clock once with the voltage it needs",
        )
    return Clocks(clock_mhz=f, voltage_v=v)


@dataclass(frozen=True, slots=True, kw_only=True)
class Along:
    """What each of several points draws in W, and its work per joule over stock as a ratio; stock's watts."""

    watts: tuple[Band, ...]
    gain: tuple[Band, ...]
    stock_w: Band


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _World:
    """What power and cooling may be: the values of the power, °C per watt, and the room."""

    power: Floats
    c_per_w: float
    room_c: float


def settled_c(power: Drawn, cooled: Cooled, at: Clocks, *, activity: float = 1.0) -> Floats:
    """The temperature of each clock, shape (n,); infinite where heat and leakage drive each other up."""
    return _settled(power, at, activity, next(_worlds(power, cooled)))[0]


def _settled(power: Drawn, at: Clocks, activity: float, world: _World) -> tuple[Floats, Floats]:
    """The temperature and the watts that each clock comes to."""
    t = np.full(at.clock_mhz.size, world.room_c)
    for _ in range(ROUNDS):
        watts = power.watts(at.voltage_v, at.clock_mhz, t, activity=activity, values=world.power)
        new = np.minimum(world.room_c + world.c_per_w * watts, RUNAWAY_C)
        moved, t = float(np.abs(new - t).max()), new
        if moved < SETTLED_C:
            break
    away = t >= RUNAWAY_C
    return np.where(away, np.inf, t), np.where(away, np.inf, np.maximum(watts, LEAST_W))


def highest_clock(
    power: Drawn,
    cooled: Cooled,
    at: Clocks,
    limit_c: float,
    rng: np.random.Generator,
    *,
    activity: float = 1.0,
) -> Band | None:
    """The highest clock whose steady temperature is within a limit; None where not even the lowest is.

    Its band is that of draws of power, network and room; where one is too hot at every clock, it counts as
    the lowest.
    """
    fine = at.finer()
    settled = (_settled(power, fine, activity, world)[0] for world in _worlds(power, cooled, rng))
    within = [fine.clock_mhz[t <= limit_c] for t in settled]
    if not within[0].size:
        return None
    highest = [float(each.max(initial=fine.clock_mhz[0])) for each in within]
    return band_of(highest[0], np.array(highest[1:]))


def rate_at(clock: Band, stock_mhz: float, elasticity: Known, rng: np.random.Generator) -> Band:
    """The rate at a clock over that at stock: (clock/stock)^β, with the bands of both.

    >>> clock = Band(value=2200.0, low=2150.0, high=2250.0)
    >>> found = rate_at(clock, 2000.0, Known(value=0.8, sd=0.05), np.random.default_rng(1))
    >>> round(found.value, 3), found.low < found.value < found.high
    (1.079, True)
    """
    steps = np.log(np.array([clock.low, clock.value, clock.high]) / stock_mhz)
    z = rng.standard_normal((DRAWS, 2))
    side = np.where(z[:, 0] < 0, steps[1] - steps[0], steps[2] - steps[1]) / reach()
    logs = (steps[1] + z[:, 0] * side) * (elasticity.value + z[:, 1] * elasticity.sd)
    return band_of(float(np.exp(steps[1] * elasticity.value)), np.exp(logs))


def most_per_joule(
    power: Drawn, at: Clocks, stock_mhz: float, elasticity: Known, rng: np.random.Generator, *,
    stock_v: float | None = None, between: bool = True, cooled: Cooled | None = None,
) -> Efficient:  # fmt: skip
    """The clock with the most work per joule, over what stock does.

    `stock_mhz` lies among the clocks; with `stock_v`, its own voltage, it may be any. Without `between` the
    best is one of the clocks themselves, as firmware has them in steps. Work and watts are of the same
    machine: with watts at the wall, what rests is shared by more work at higher clocks, and the best clock
    lies higher than by the part alone.
    """
    if stock_v is None and not at.clock_mhz[0] <= stock_mhz <= at.clock_mhz[-1]:
        raise BadRecord(f"stock, {stock_mhz:g} MHz, is not among the clocks asked about", todo="take it in")
    fine = at.finer() if between else at
    betas = np.r_[elasticity.value, elasticity.value + elasticity.sd * rng.standard_normal(DRAWS)]
    logs = np.log(fine.clock_mhz / stock_mhz)
    stock = _stock(fine, stock_mhz, stock_v)
    best, gains, rates = [], [], []
    for beta, world in zip(betas, _worlds(power, cooled, rng), strict=True):
        work = beta * logs - np.log(_settled(power, fine, 1.0, world)[1])
        k = int(np.argmax(work))
        best.append(k)
        gains.append(float(np.exp(work[k]) * _settled(power, stock, 1.0, world)[1][0]))
        rates.append(float(np.exp(beta * logs[k])))
    chosen = fine.clock_mhz[best]
    return Efficient(
        clock_mhz=band_of(float(chosen[0]), chosen[1:]),
        gain=band_of(gains[0], np.array(gains[1:])), rate=band_of(rates[0], np.array(rates[1:])),
        at_an_end=best[0] in (0, fine.clock_mhz.size - 1),
    )  # fmt: skip


def along(
    power: Drawn, at: Clocks, stock: tuple[float, float], elasticity: Known, rng: np.random.Generator, *,
    cooled: Cooled | None = None,
) -> Along:  # fmt: skip
    """What points draw and do for a joule over `stock` (MHz, V), whose clocks may be one and the same.

    Values are those of `most_per_joule`. A point that heat drives up without end draws so, and gains 0.
    """
    betas = np.r_[elasticity.value, elasticity.value + elasticity.sd * rng.standard_normal(DRAWS)]
    own = Clocks(clock_mhz=np.array(stock[:1]), voltage_v=np.array(stock[1:]))
    watts, gains, stocks = [], [], []
    for beta, world in zip(betas, _worlds(power, cooled, rng), strict=True):
        watts.append(_settled(power, at, 1.0, world)[1])
        stocks.append(float(_settled(power, own, 1.0, world)[1][0]))
        gains.append((at.clock_mhz / stock[0]) ** beta * stocks[-1] / watts[-1])
    return Along(watts=_bands(watts), gain=_bands(gains), stock_w=band_of(stocks[0], np.array(stocks[1:])))


def _bands(drawn: list[Floats]) -> tuple[Band, ...]:
    """Bands of n values, the first of which are as fitted and the others draws."""
    return tuple(band_of(float(own[0]), own[1:]) for own in np.array(drawn).T)


def _stock(fine: Clocks, stock_mhz: float, stock_v: float | None) -> Clocks:
    """Stock alone: at its own voltage, or at that of its clock."""
    volts = float(np.interp(stock_mhz, fine.clock_mhz, fine.voltage_v)) if stock_v is None else stock_v
    return Clocks(clock_mhz=np.array([stock_mhz]), voltage_v=np.array([volts]))


def _worlds(power: Drawn, cooled: Cooled | None, rng: np.random.Generator | None = None) -> Iterator[_World]:
    """What power and cooling are as fitted, then draws of what they may be. Uncooled, nothing warms up."""
    cooled = cooled or Cooled(c_per_w=Known(value=0.0), room_c=Known(value=power.middle_c))
    r, room = cooled.c_per_w, cooled.room_c
    yield _World(power=power.values, c_per_w=r.value, room_c=room.value)
    if rng is None:
        return
    z = rng.standard_normal((DRAWS, 2))
    for values, (by_r, by_room) in zip(rng.permutation(power.draws)[:DRAWS], z.tolist(), strict=True):
        yield _World(power=values, c_per_w=r.value + r.sd * by_r, room_c=room.value + room.sd * by_room)
