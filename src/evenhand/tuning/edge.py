"""Where a part begins to fail: what trials tell of it, as weighted points of everything that it may be.

The model (failures per hour): λ(V, f, T) = 6·exp(−(V − α − β·(f − f₀) − γ·(T − T₀)) / s) + φ.
α is the edge at the clock f₀ in a room at T₀: there the part fails once in ten minutes on average. β says how
much more voltage a MHz takes, γ how much a warmer room does, s by how many millivolts failures become fewer
by the factor e. φ is a rate that no voltage cures: a fan, a driver, bad memory elsewhere.

That failures fall exponentially with voltage is an assumption. It is what circuits show that count their own
timing errors (Ernst et al. 2003, "Razor: a low-power pipeline based on circuit-level timing speculation",
MICRO-36). The likelihood is that of a Poisson process. For each s and φ it is weighed on points around its
own peak (found by Fisher scoring; McCullagh and Nelder 1989, "Generalized Linear Models", 2.5), laid along
its curvature, so that sums over the points are sums over everything that has weight.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Floats
from evenhand.tuning.evidence import Evidence

EDGE_RATE = 6.0
"""Failures per hour at the edge: one in ten minutes, what a short trial just sees."""

REACH = (4.5, 4.5, 2.7)
SIZES = (11, 11, 5)
"""How far points lie from the peak, in standard deviations, and how many in each direction. Less than one
standard deviation apart, the sum over a bell curve is its integral to six digits; for warmth less will do."""

SPREAD_SIZE, SPREAD_REACH = 37, 2.8
SCORING_STEPS = 100
CLOSE = 0.05  # standard deviations: points around a peak reach so far that it may be off by this much
SHORTEST_DOUBT_H = 1e-6
TINY = 1e-300
LONGEST_STEP = 2.0  # in e-folds of the rate at any point tried: a longer one leaves where the curvature holds
NO_SLOPE = 1e-9  # mV per MHz
FLATTEST = 1e-9  # of the curvature along an axis: flatter than that is not told from flat
LEAST_LOG = -500.0  # of a weight: less is no number any more
LEAST_PEAK = 1e-6  # a peak of so small a share of the highest has no say
LEAST_WEIGHT = 1e-7  # nor has a point


@dataclass(frozen=True, slots=True, kw_only=True)
class Beliefs:
    """What is taken for likely before any trial; told wherever it is used.

    `spread_mv` is the median of a log-normal law with the standard deviation `spread_sd` of logs. `slope`, in
    mV per MHz and never below 0, and `warmth`, in mV per K of the room, are normal, as the edge is, which
    lies about the middle of the voltages tried. `floors` are rates per hour that no voltage cures, each with
    its probability; that there is none has the rest.
    """

    spread_mv: float = 8.0
    spread_sd: float = 0.7
    edge_sd_mv: float = 150.0
    slope: float = 0.5
    slope_sd: float = 1.0
    warmth: float = 0.5
    warmth_sd: float = 0.5
    floors: tuple[tuple[float, float], ...] = ((0.03, 0.01), (0.1, 0.01), (0.3, 0.005), (1.0, 0.005))


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """What is known of a part's edge: points (P,) of what it may be, and their weights, which sum to 1.

    `lines` (P, 3) holds α in mV, β in mV per MHz and γ in mV per K; `spread_mv` s and `floor` φ per hour.
    `clock_mhz` and `room_c` are f₀ and T₀.
    """

    lines: Floats
    spread_mv: Floats
    floor: Floats
    weights: Floats
    clock_mhz: float
    room_c: float

    def at(self, clock_mhz: float, room_c: float) -> Floats:
        """The voltage of the edge at a clock in a room, in mV, shape (P,)."""
        found: Floats = self.lines @ np.array([1.0, clock_mhz - self.clock_mhz, room_c - self.room_c])
        return found

    def edge_mv(self, clock_mhz: float, room_c: float, *shares: float) -> tuple[float, ...]:
        """Quantiles of the edge at a clock in a room, in mV."""
        return self._quantiles(self.at(clock_mhz, room_c), shares)

    def needed_mv(self, clock_mhz: float, room_c: float, rate: float, *shares: float) -> tuple[float, ...]:
        """Quantiles of the voltage at which the part fails `rate` times an hour, where voltage cures it."""
        depth = self.spread_mv * np.log(EDGE_RATE / rate)
        return self._quantiles(self.at(clock_mhz, room_c) + depth, shares)

    def clock_mhz_at(
        self, voltage_mv: float, room_c: float, rate: float, *shares: float
    ) -> tuple[float, ...]:
        """Quantiles of the clock at which it fails `rate` times an hour, where voltage cures it."""
        depth = self.spread_mv * np.log(EDGE_RATE / rate)
        left = voltage_mv - depth - self.at(self.clock_mhz, room_c)
        return self._quantiles(self.clock_mhz + left / np.maximum(self.lines[:, 1], 1e-6), shares)

    def rate(self, voltage_mv: float, clock_mhz: float, room_c: float) -> Floats:
        """Failures per hour at a point, shape (P,)."""
        return _cured(voltage_mv - self.at(clock_mhz, room_c), self.spread_mv) + self.floor

    def holds(self, voltage_mv: float, clock_mhz: float, room_c: float, hours: float) -> float:
        """How likely the part is to hold so many hours at a point."""
        return float(self.weights @ np.exp(-hours * self.rate(voltage_mv, clock_mhz, room_c)))

    @property
    def uncured(self) -> float:
        """How likely it is that some failures are cured by no voltage."""
        return float(self.weights[self.floor > 0].sum())

    def _quantiles(self, values: Floats, shares: tuple[float, ...]) -> tuple[float, ...]:
        """Quantiles of a value over what the part may be if voltage cures it."""
        some = self.floor == 0
        order = np.argsort(values[some])
        passed = np.cumsum(self.weights[some][order])
        places = np.searchsorted(passed, np.asarray(shares) * passed[-1])
        return tuple(float(v) for v in values[some][order][np.minimum(places, len(order) - 1)])


def learn(evidence: Evidence, beliefs: Beliefs | None = None) -> Edge:
    """What trials tell of a part's edge. Raises ValueError without any.

    The clock and the room that the edge is told at are the middle ones of those tried.
    """
    if not len(evidence.hours) and not len(evidence.late):
        raise ValueError("no trial")
    model = _Model(evidence, beliefs or Beliefs())
    peaks = model.peaks()
    lines, logs = model.around(peaks)
    each = len(logs) // len(peaks.spread)
    spread, floor = np.repeat(peaks.spread, each), np.repeat(peaks.floor, each)
    some = (lines[:, 1] >= 0) & _heard(np.where(lines[:, 1] >= 0, logs, -np.inf), floor, LEAST_WEIGHT)
    weights = _weights(logs[some], floor[some])
    return Edge(
        lines=lines[some], spread_mv=spread[some], floor=floor[some], weights=weights / weights.sum(),
        clock_mhz=model.clock, room_c=model.room,
    )  # fmt: skip


def _weights(logs: Floats, floor: Floats) -> Floats:
    """Weights from their logs; those where voltage cures all keep their shares, however unlikely they are."""
    logs, cured = logs - logs.max(), floor == 0
    logs[cured] += max(LEAST_LOG - logs[cured].max(), 0.0)
    return np.exp(logs)


def _heard(logs: Floats, floor: Floats, least: float) -> npt.NDArray[np.bool_]:
    """What has a say among its own kind: where voltage cures all, and where it does not."""
    cured = floor == 0
    heard = np.empty(len(logs), dtype=bool)
    for kind in (cured, ~cured):
        heard[kind] = logs[kind] > logs[kind].max(initial=-np.inf) + np.log(least)
    return heard


@dataclass(frozen=True, slots=True, kw_only=True)
class _Peaks:
    """For Q pairs of a spread and a floor where their likelihood is highest.

    `prior` is each pair's own log weight, `place` (Q, 3) the peak, `scale` (Q, 3, 3) a root of the inverse
    curvature there, lower triangular.
    """

    spread: Floats
    floor: Floats
    prior: Floats
    place: Floats
    scale: Floats

    def some(self, which: npt.NDArray[np.bool_]) -> _Peaks:
        """Those that are asked for."""
        return _Peaks(
            spread=self.spread[which], floor=self.floor[which], prior=self.prior[which],
            place=self.place[which], scale=self.scale[which],
        )  # fmt: skip


class _Model:
    """The trials and what is believed before them, as one sum of logs."""

    def __init__(self, evidence: Evidence, beliefs: Beliefs) -> None:
        tried = np.column_stack([evidence.voltage_mv, evidence.clock_mhz, evidence.room_c])
        every = np.vstack([tried, evidence.late[:, :3]])
        voltage, self.clock, self.room = ((every.min(axis=0) + every.max(axis=0)) / 2).tolist()
        self.volts = every[:, 0]
        self.x = np.column_stack([np.ones(len(every)), every[:, 1] - self.clock, every[:, 2] - self.room])
        held, gone = evidence.late[:, 3], evidence.late[:, 4]
        self.hours = np.concatenate([evidence.hours, held])
        self.failures = np.concatenate([evidence.failures, np.zeros(len(held))])
        self.doubt = np.concatenate(
            [np.zeros(len(evidence.hours)), np.maximum(gone - held, SHORTEST_DOUBT_H)]
        )
        self.beliefs = beliefs
        self.mean = np.array([voltage, beliefs.slope, beliefs.warmth])
        self.precision = np.array([beliefs.edge_sd_mv, beliefs.slope_sd, beliefs.warmth_sd]) ** -2.0

    def peaks(self) -> _Peaks:
        """The peaks of all spreads and floors but those that have no say."""
        b = self.beliefs
        steps = np.linspace(-SPREAD_REACH, SPREAD_REACH, SPREAD_SIZE)
        none = 1 - sum(share for _, share in b.floors)
        floors, shares = np.array([(0.0, none), *b.floors]).T
        spreads = b.spread_mv * np.exp(b.spread_sd * steps)
        places, scales = [], []
        place = np.tile(self.mean, (len(floors), 1))
        for spread in spreads[::-1]:  # the widest first: its peak is where the next one is looked for
            place, scale = self._climb(place, float(spread), floors)
            places.append(place)
            scales.append(scale)
        found = _Peaks(
            spread=np.repeat(spreads[::-1], len(floors)), floor=np.tile(floors, len(steps)),
            prior=(np.log(shares) - steps[::-1, None] ** 2 / 2).ravel(),
            place=np.concatenate(places), scale=np.concatenate(scales),
        )  # fmt: skip
        height = self._logs(found.place[:, None], found)[:, 0]
        return found.some(_heard(height, found.floor, LEAST_PEAK))

    def around(self, peaks: _Peaks) -> tuple[Floats, Floats]:
        """Points around all peaks (K, 3), as many around each, and their log weights (K,)."""
        axes = [np.linspace(-r, r, n) for r, n in zip(REACH, SIZES, strict=True)]
        z = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
        lines = peaks.place[:, None] + z @ peaks.scale.transpose(0, 2, 1)
        return lines.reshape(-1, 3), self._logs(lines, peaks).ravel()

    def _logs(self, lines: Floats, peaks: _Peaks) -> Floats:
        """The log weight of a point at lines (Q, K, 3) around each peak: likelihood, prior and its room."""
        rate = _cured(self.volts - lines @ self.x.T, peaks.spread[:, None, None]) + peaks.floor[:, None, None]
        found: Floats = np.log(np.maximum(rate, TINY)) @ self.failures - rate @ self.hours
        late = self.doubt > 0
        if late.any():
            found += np.log(-np.expm1(-rate[..., late] * self.doubt[late]) + TINY).sum(axis=-1)
        room = np.log(np.diagonal(peaks.scale, axis1=1, axis2=2)).sum(axis=1)
        found -= (lines - self.mean) ** 2 @ self.precision / 2
        found += (peaks.prior + room)[:, None]
        return found

    def _climb(self, place: Floats, spread: float, floor: Floats) -> tuple[Floats, Floats]:
        """The peaks from places on (Q, 3), one a floor, for one spread, and their scales (Q, 3, 3)."""
        for _ in range(SCORING_STEPS):
            cured = _cured(self.volts - place @ self.x.T, spread)
            rate = np.maximum(cured + floor[:, None], TINY)
            slack, doubted = self._of_doubt(rate)
            pull = ((self.failures / rate - self.hours + slack) * cured / spread) @ self.x
            pull -= self.precision * (place - self.mean)
            seen = (self.hours / rate + doubted) * (cured / spread) ** 2
            curvature = np.einsum("qn,ni,nj->qij", seen, self.x, self.x) + np.diag(self.precision)
            even, unit = _evened(curvature)
            step = _step(even, pull / unit, place) / unit
            far = np.abs(step @ self.x.T).max(axis=1) / spread
            share = np.minimum(1.0, LONGEST_STEP / np.maximum(far, 1e-12))
            falls = place[:, 1] + step[:, 1] < 0
            share[falls] = np.minimum(share[falls], -place[falls, 1] / step[falls, 1])
            place = place + step * share[:, None]
            place[:, 1] = np.maximum(place[:, 1], 0.0)
            if np.einsum("qi,qij,qj->q", step, curvature, step).max() < CLOSE**2:
                break
        return place, np.linalg.cholesky(np.linalg.inv(even)) / unit[:, :, None]

    def _of_doubt(self, rate: Floats) -> tuple[Floats, Floats]:
        """What failures found late add to slope and curvature by rate: a chance of 1 − exp(−rate·doubt)."""
        expected = np.clip(rate * self.doubt, TINY, 500)
        slack = np.where(self.doubt > 0, self.doubt / np.expm1(expected), 0.0)
        return slack, slack * self.doubt


def _evened(curvature: Floats) -> tuple[Floats, Floats]:
    """Curvatures (Q, 3, 3) with ones along their diagonal, and the units (Q, 3) by which they are divided.

    Far from the edge one point alone has all the say and a curvature would be flat along the rest of them: a
    little is added, which leaves the peak where it is.
    """
    unit = np.sqrt(np.diagonal(curvature, axis1=1, axis2=2))
    return curvature / (unit[:, :, None] * unit[:, None, :]) + FLATTEST * np.eye(3), unit


def _step(even: Floats, pull: Floats, place: Floats) -> Floats:
    """The steps (Q, 3) towards the peaks; a slope of 0 becomes no less, whatever pulls at it."""
    step = np.asarray(np.linalg.solve(even, pull[..., None])[..., 0], dtype=np.float64)
    held = (place[:, 1] <= NO_SLOPE) & (step[:, 1] < 0)
    if held.any():
        flat: Floats = np.zeros((int(held.sum()), 3))
        flat[:, ::2] = np.linalg.solve(even[held][:, ::2, ::2], pull[held][:, ::2, None])[..., 0]
        step[held] = flat
    return step


def _cured(above: Floats, spread: Floats | float) -> Floats:
    """Failures per hour that voltage cures, `above` being mV above the edge."""
    rate: Floats = EDGE_RATE * np.exp(-np.clip(above / spread, -40, 80))
    return rate
