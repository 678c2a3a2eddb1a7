"""Where a part begins to fail: what trials tell of it, as weighted points of everything that it may be.

The model (failures per hour): λ(V, f, T) = 6·exp(−(V − α − β·(f − f₀) − γ·(T − T₀)) / s) + φ.
α is the edge at the clock f₀ in a room at T₀: there the part fails once in ten minutes on average. β says how
much more voltage a MHz takes, γ how much a warmer room does, s by how many millivolts failures become fewer
by the factor e. φ is a rate that no voltage cures: a fan, a driver, bad memory elsewhere.

That failures fall exponentially with voltage is an assumption. It is what circuits show that count their own
timing errors (Ernst et al. 2003, "Razor: a low-power pipeline based on circuit-level timing speculation",
MICRO-36). The likelihood is that of a Poisson process. For each s and φ it is weighed on points around its own
peak (found by Fisher scoring; McCullagh and Nelder 1989, "Generalized Linear Models", 2.5), laid along its
curvature, so that sums over the points are sums over everything that has weight.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.tuning.evidence import Evidence

EDGE_RATE = 6.0
"""Failures per hour at the edge: one in ten minutes, what a short trial just sees."""

REACH = (4.5, 4.5, 2.7)
SIZES = (11, 11, 5)
"""How far points lie from the peak, in standard deviations, and how many in each direction: less than one
standard deviation apart, where the sum over a bell curve is its integral to six digits, but for the room's warmth."""

SPREAD_SIZE, SPREAD_REACH = 29, 2.8
SCORING_STEPS = 40
LONGEST_STEP = 2.0  # in e-folds of the rate at any point tried: a longer one leaves where the curvature holds
NEGLIGIBLE = 16.0  # a peak so far below the highest, in logs, has no say (1e-7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beliefs:
    """What is taken for likely before any trial; told wherever it is used.

    `spread_mv` is the median of a log-normal law with the standard deviation `spread_sd` of logs. `slope`, in mV
    per MHz and never below 0, and `warmth`, in mV per K of the room, are normal. `floors` are rates per hour that
    no voltage cures, each with its probability; none of them has the rest.
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
        return self.lines @ np.array([1.0, clock_mhz - self.clock_mhz, room_c - self.room_c])

    def edge_mv(self, clock_mhz: float, room_c: float, *shares: float) -> tuple[float, ...]:
        """Quantiles of the edge at a clock in a room, in mV."""
        return self._quantiles(self.at(clock_mhz, room_c), shares)

    def needed_mv(self, clock_mhz: float, room_c: float, rate: float, *shares: float) -> tuple[float, ...]:
        """Quantiles of the voltage at which the part fails `rate` times an hour, where voltage cures it."""
        depth = self.spread_mv * np.log(EDGE_RATE / rate)
        return self._quantiles(self.at(clock_mhz, room_c) + depth, shares)

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
        some = (self.floor == 0) & (self.weights > self.weights.max() * 1e-9)
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
    peaks = list(model.peaks())
    highest = max(peak.height for peak in peaks)
    laid = [model.laid(peak) for peak in peaks if peak.height > highest - NEGLIGIBLE]
    logs = np.concatenate([log for _, log in laid])
    weights = np.exp(logs - logs.max())
    sizes = [len(log) for _, log in laid]
    kept = [peak for peak in peaks if peak.height > highest - NEGLIGIBLE]
    return Edge(
        lines=np.concatenate([lines for lines, _ in laid]),
        spread_mv=np.repeat([peak.spread for peak in kept], sizes),
        floor=np.repeat([peak.floor for peak in kept], sizes),
        weights=weights / weights.sum(), clock_mhz=model.clock, room_c=model.room,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Peak:
    """Where the likelihood of one spread and one floor is highest: its place, its scale and its log weight."""

    spread: float
    floor: float
    prior: float
    place: Floats
    scale: Floats
    height: float


class _Model:
    """The trials and what is believed before them, as one sum of logs."""

    def __init__(self, evidence: Evidence, beliefs: Beliefs) -> None:
        self.evidence, self.beliefs = evidence, beliefs
        tried = np.column_stack([evidence.voltage_mv, evidence.clock_mhz, evidence.room_c])
        every = np.vstack([tried, evidence.late[:, :3]])
        voltage, self.clock, self.room = ((every.min(axis=0) + every.max(axis=0)) / 2).tolist()
        self.volts = every[:, 0]
        self.x = np.column_stack([np.ones(len(every)), every[:, 1] - self.clock, every[:, 2] - self.room])
        held, gone = evidence.late[:, 3], np.maximum(evidence.late[:, 4], evidence.late[:, 3] + 1e-9)
        self.hours = np.concatenate([evidence.hours, held])
        self.failures = np.concatenate([evidence.failures, np.zeros(len(held))])
        self.doubt = np.concatenate([np.zeros(len(evidence.hours)), gone - held])
        self.mean = np.array([voltage, beliefs.slope, beliefs.warmth])
        self.precision = np.array([beliefs.edge_sd_mv, beliefs.slope_sd, beliefs.warmth_sd]) ** -2.0

    def peaks(self) -> Iterator[_Peak]:
        """The peak of every spread and floor."""
        b = self.beliefs
        steps = np.linspace(-SPREAD_REACH, SPREAD_REACH, SPREAD_SIZE)
        none = 1 - sum(share for _, share in b.floors)
        for floor, share in ((0.0, none), *b.floors):
            place = self.mean
            for step in steps[::-1]:  # the widest first: its peak is where the next is looked for
                spread = b.spread_mv * float(np.exp(b.spread_sd * step))
                place, scale = self._climb(place, spread, floor)
                prior = float(np.log(share) - step**2 / 2)
                height = prior + float(self.logs(place[None], spread, floor)[0])
                height += float(np.log(np.diag(scale)).sum())
                yield _Peak(spread=spread, floor=floor, prior=prior, place=place, scale=scale, height=height)

    def laid(self, peak: _Peak) -> tuple[Floats, Floats]:
        """Points around a peak (K, 3), and their log weights (K,)."""
        axes = [np.linspace(-r, r, n) for r, n in zip(REACH, SIZES, strict=True)]
        z = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
        lines = peak.place + z @ peak.scale.T
        logs = self.logs(lines, peak.spread, peak.floor) + np.log(np.diag(peak.scale)).sum() + peak.prior
        return lines, np.where(lines[:, 1] >= 0, logs, -np.inf)

    def logs(self, lines: Floats, spread: float, floor: float) -> Floats:
        """The log of likelihood times prior at lines (K, 3)."""
        rate = _cured(self.volts - lines @ self.x.T, spread) + floor
        found = -rate @ self.hours + np.log(np.maximum(rate, 1e-300)) @ self.failures
        late = self.doubt > 0
        if late.any():
            found += np.log(-np.expm1(-rate[:, late] * self.doubt[late]) + 1e-300).sum(axis=1)
        away: Floats = (lines - self.mean) ** 2 @ self.precision
        return found - away / 2

    def _climb(self, place: Floats, spread: float, floor: float) -> tuple[Floats, Floats]:
        """The peak from a place on, and a square root of the inverse curvature there (lower triangular)."""
        failures = self.failures + (self.doubt > 0)
        hours = self.hours + self.doubt / 2
        for _ in range(SCORING_STEPS):
            cured = _cured(self.volts - self.x @ place, spread)
            rate = np.maximum(cured + floor, 1e-300)
            pull = self.x.T @ ((failures / rate - hours) * cured / spread)
            pull -= self.precision * (place - self.mean)
            seen = (hours * cured**2 / rate) / spread**2
            curvature = (self.x.T * seen) @ self.x + np.diag(self.precision)
            step = np.linalg.solve(curvature, pull)
            far = np.abs(self.x @ step).max() / spread
            place = place + step * min(1.0, LONGEST_STEP / max(far, 1e-12))
            if far < 1e-4:
                break
        return place, np.linalg.cholesky(np.linalg.inv(curvature))


def _cured(above: Floats, spread: Floats | float) -> Floats:
    """Failures per hour that voltage cures, `above` being mV above the edge."""
    return EDGE_RATE * np.exp(-np.clip(above / spread, -40, 80))
