"""What a part draws at a voltage and a clock: what switching takes, and what leaks and rests.

    W = C·V²·f·a + L·g(k_V·(V − V₀) + k_T·(T − T₀)),     g(x) = e^x, or 1 + x

C is what switches at once, in nF; a is how much of it does, as a share that the load sets (1 where nobody
knows better). L is what is drawn at no clock at all, at the middle V₀ and T₀ of what was measured: leakage,
and whatever else the meter sees. L grows exponentially, or linearly where that surely fits the points better;
where they hardly differ, that is said. How fast it grows is believed beforehand as `Beliefs` say, since few
points tell it apart from C; whether they do is told. Readings scatter in proportion to the watts. From
watts at the wall, C and L are those at the wall, with what the supply loses. The value is the posterior's
peak, and every band is that of the same draws of it (`evenhand.tuning.watts_draws`): sums of parts that are
hardly told, and ratios of such sums, are known far better than the parts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from evenhand.errors import BadRecord, NotEnoughRuns
from evenhand.stats.spread import Floats
from evenhand.tuning.bands import Band, band_of, slopes
from evenhand.tuning.watts_draws import posterior

NF = 1e-3  # V²·MHz·nF in watts
FEWEST = 4
SWITCHING_SPAN = 1.1  # V²·f has to reach from its least to so many times that
LEAST_SCATTER = 0.002  # of the watts: no meter repeats itself more closely
ROUNDS = 4  # of values and scatter, each from the other
HARDLY = 2.0  # forms of leakage whose twice log likelihoods differ by less are as good as each other
SEEN = 0.5  # a growth is told by the points where they leave less than this share of what was believed


class Leaks(StrEnum):
    """How what is drawn at no clock grows with voltage and temperature."""

    EXPONENTIAL = "exponential"
    LINEAR = "linear"


@dataclass(frozen=True, slots=True, kw_only=True)
class Beliefs:
    """How fast leakage is believed to grow before anything is measured: per volt, and per K; never below 0.

    That currents below threshold grow exponentially with both is how transistors are made (Roy, Mukhopadhyay
    and Mahmoodi-Meimand 2003, Proceedings of the IEEE 91(2)). How fast is a wide guess: e-fold in half a volt
    and in 125 K, or not at all where most of what rests does not leak, or more than twice as fast.
    """

    per_v: float = 2.0
    per_v_sd: float = 1.5
    per_k: float = 0.008
    per_k_sd: float = 0.006


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Points:
    """Measured points, each of shape (n,). `temperature_c` is None where it was not read."""

    voltage_v: Floats
    clock_mhz: Floats
    watts: Floats
    temperature_c: Floats | None = None
    activity: Floats

    @property
    def switching(self) -> Floats:
        """V²·f·a, in V²·MHz."""
        return self.voltage_v**2 * self.clock_mhz * self.activity

    @property
    def middle(self) -> tuple[float, float]:
        """The voltage and the temperature in the middle; 0 °C where none was read."""
        t = self.temperature_c
        return float(self.voltage_v.mean()), 0.0 if t is None else float(t.mean())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawn:
    """What a part draws: `values` (4,) are C in nF, L in W, and its growth per volt and per K.

    `draws` (m, 4) are what they may be as well; `scatter` is that of readings, as a share.
    `sure` says whether the other form of leakage fits worse; `volts_told` and `heat_told`, whether the points
    tell how it grows, or only what was believed does.
    """

    leaks: Leaks
    sure: bool
    values: Floats
    draws: Floats
    scatter: float
    middle_v: float
    middle_c: float
    volts_told: bool
    heat_told: bool

    @property
    def switched_nf(self) -> Band:
        """C with its band."""
        return band_of(float(self.values[0]), self.draws[:, 0])

    @property
    def resting_w(self) -> Band:
        """L with its band, at the middle of the voltages and temperatures that were measured."""
        return band_of(float(self.values[1]), self.draws[:, 1])

    def watts(
        self, voltage_v: npt.ArrayLike, clock_mhz: npt.ArrayLike, temperature_c: npt.ArrayLike | None = None,
        *, activity: float = 1.0, values: Floats | None = None,
    ) -> Floats:  # fmt: skip
        """Watts at points; at the middle temperature where none is given."""
        v, f = np.atleast_1d(voltage_v).astype(float), np.atleast_1d(clock_mhz).astype(float)
        t = np.asarray(self.middle_c if temperature_c is None else temperature_c, float)
        at = self.values if values is None else values
        return _watts(self.leaks, at, v**2 * f * activity, v - self.middle_v, t - self.middle_c)

    def at(
        self, voltage_v: float, clock_mhz: float, temperature_c: float | None = None, *, activity: float = 1.0
    ) -> Band:
        """Watts at one point, with the band of their mean."""
        v, t = voltage_v - self.middle_v, (self.middle_c if temperature_c is None else temperature_c)
        every = np.vstack([self.values, self.draws])
        grows = every[:, 2] * v + every[:, 3] * (t - self.middle_c)
        rests = every[:, 1] * _grown(self.leaks, grows)
        watts = NF * every[:, 0] * voltage_v**2 * clock_mhz * activity + rests
        return band_of(float(watts[0]), watts[1:])

    def switching_at(self, voltage_v: float, clock_mhz: float, temperature_c: float | None = None) -> Band:
        """What switching takes at one point: never below 0, nor more than all that may be drawn there."""
        factor = NF * voltage_v**2 * clock_mhz
        nf, most = self.switched_nf, self.at(voltage_v, clock_mhz, temperature_c).high
        return Band(value=nf.value * factor, low=nf.low * factor, high=min(nf.high * factor, most))


def points(
    voltage_v: npt.ArrayLike, clock_mhz: npt.ArrayLike, watts: npt.ArrayLike,
    temperature_c: npt.ArrayLike | None = None, activity: npt.ArrayLike = 1.0,
) -> Points:  # fmt: skip
    """Points as measured. Raises `BadRecord` for a value that is missing or not above 0."""
    v, f, w = (np.asarray(each, float) for each in (voltage_v, clock_mhz, watts))
    a = np.broadcast_to(np.asarray(activity, float), v.shape)
    t = None if temperature_c is None else np.asarray(temperature_c, float)
    for name, column in (("voltage", v), ("clock", f), ("watts", w), ("activity", a)):
        if column.shape != v.shape or not (np.isfinite(column) & (column > 0)).all():
            raise BadRecord(
                f"the {name} of a point is missing or not above 0", todo="enter it, or leave the point out"
            )
    if t is not None and (t.shape != v.shape or not np.isfinite(t).all()):
        raise BadRecord("the temperature of a point is missing", todo="enter it for every point or for none")
    return Points(voltage_v=v, clock_mhz=f, watts=w, temperature_c=t, activity=a)


def fit_watts(measured: Points, beliefs: Beliefs | None = None) -> Drawn:
    """What a part draws. Raises `NotEnoughRuns` with fewer than four points, or V²·f that hardly changed."""
    switching = measured.switching
    if switching.size < FEWEST or switching.max() < SWITCHING_SPAN * switching.min():
        raise NotEnoughRuns(
            f"{switching.size} points, whose V²·f goes from {switching.min():.0f} to {switching.max():.0f} "
            "V²·MHz, cannot tell what switches from what leaks",
            todo="measure watts at four clocks and voltages or more, far apart",
        )
    exponential, linear = (_Peak(leaks, measured, beliefs or Beliefs()) for leaks in Leaks)
    worse = exponential.misfit - linear.misfit
    return (linear if worse > HARDLY else exponential).drawn(sure=abs(worse) > HARDLY)


class _Peak:
    """The likeliest values under one form of leakage."""

    def __init__(self, leaks: Leaks, measured: Points, beliefs: Beliefs) -> None:
        self.leaks, self.measured = leaks, measured
        self.believed = np.array([beliefs.per_v, beliefs.per_k])
        self.believed_sd = np.array([beliefs.per_v_sd, beliefs.per_k_sd])
        v, t = measured.middle
        self.volts = measured.voltage_v - v
        self.heat = np.zeros(self.volts.size) if (heat := measured.temperature_c) is None else heat - t
        self.scatter, self.values = 0.01, self._start()
        for _ in range(ROUNDS):
            self._climb()

    @property
    def misfit(self) -> float:
        """Minus twice the log of the likelihood and of what is believed of it, but for a constant."""
        away = (self.values[2:] - self.believed) / self.believed_sd
        return self.measured.watts.size * math.log(self.scatter**2) + float(away @ away)

    def drawn(self, *, sure: bool) -> Drawn:
        """What is known then."""
        v, t = self.measured.middle
        draws = self._draws()
        told = draws[:, 2:].std(axis=0) < SEEN * self.believed_sd
        return Drawn(
            leaks=self.leaks, sure=sure, values=self.values, draws=draws, scatter=self.scatter,
            middle_v=v, middle_c=t, volts_told=bool(told[0]), heat_told=bool(told[1]),
        )  # fmt: skip

    def _draws(self) -> Floats:
        """What C, L and its growths may be as well, shape (m, 4)."""
        switches = float(self.measured.switching.mean())

        def shape(cells: Floats) -> Floats:
            share, by_v, by_t = (column[:, None] for column in cells.T)
            grown = _grown(self.leaks, by_v * self.volts + by_t * self.heat)
            found: Floats = (1 - share) * self.measured.switching / switches + share * grown
            return found

        drawn = posterior(
            shape, self.measured.watts, (self.believed, self.believed_sd), least_scatter=LEAST_SCATTER
        )
        whole, share = drawn[:, 0], drawn[:, 1]
        return np.column_stack([whole * (1 - share) / (NF * switches), whole * share, drawn[:, 2:]])

    def _start(self) -> Floats:
        least = float(self.measured.watts.min())
        return np.array([least / (2 * NF * float(self.measured.switching.min())), least / 2, *self.believed])

    def _off(self, values: Floats) -> Floats:
        """By what shares of themselves the watts are missed."""
        watts = _watts(self.leaks, values, self.measured.switching, self.volts, self.heat)
        found: Floats = watts / self.measured.watts - 1
        return found

    def _climb(self) -> None:
        """The values at this scatter, then the scatter that they leave."""
        from scipy.optimize import least_squares  # slow to load, and seldom needed

        found = least_squares(self._weighed, self.values, bounds=(0.0, np.inf), x_scale="jac", xtol=1e-12)
        self.values = found.x
        by = slopes(self._off, self.values)
        seen = by.T @ by / self.scatter**2
        believed = np.diag(np.r_[0.0, 0.0, self.believed_sd**-2.0])
        df = by.shape[0] - float(np.trace(np.linalg.pinv(seen + believed) @ seen))
        off = self._off(self.values)
        self.scatter = max(math.sqrt(float(off @ off) / max(df, 1.0)), LEAST_SCATTER)

    def _weighed(self, values: Floats) -> Floats:
        found: Floats = np.r_[
            self._off(values) / self.scatter, (values[2:] - self.believed) / self.believed_sd
        ]
        return found


def _watts(leaks: Leaks, values: Floats, switching: Floats, volts: Floats, heat: Floats) -> Floats:
    """Watts by a form's values; `volts` and `heat` are counted from the middle."""
    grown = _grown(leaks, values[2] * volts + values[3] * heat)
    found: Floats = NF * values[0] * switching + values[1] * grown
    return found


def _grown(leaks: Leaks, grows: Floats) -> Floats:
    """How many times L is drawn where its growths add up to so much."""
    if leaks is Leaks.EXPONENTIAL:
        return np.exp(np.minimum(grows, 50.0))
    return np.maximum(1 + grows, 0.0)
