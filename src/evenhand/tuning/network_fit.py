"""The thermal network that a log tells of: one stage or two, each with its band.

Least squares over the logarithms of the time constants; for each choice of them, resistances, what each stage
had stored where a stretch begins, and a room that nobody wrote down follow linearly (variable projection;
Golub and Pereyra 1973). No resistance is below 0. Two stages are told where they are likelier than one by the
information criterion of Schwarz 1978, in which rows that repeat each other count for as many as they are
worth. Errors are those of a sandwich that holds where residuals hang together (Newey and West 1987, with the
bandwidth of Andrews 1991).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

import numpy as np

from evenhand.errors import NotEnoughRuns
from evenhand.stats.spread import Flags, Floats
from evenhand.tuning.bands import Band, Known, around, around_log, reach, slopes
from evenhand.tuning.heat_log import RECORD, HeatLog
from evenhand.tuning.network import Response, response
from evenhand.tuning.residuals import memory, sandwich

GRID = 14  # time constants that are tried before the best are refined
REFINED = 2  # of the places on the grid, so many are refined
SLOWEST_SPANS = 2.0  # of the log: a stage that is slower rises along a straight line in it
APART = 1.6  # two stages whose time constants lie closer than this are one
WORTH = 6.0  # twice the log by which two stages are likelier: strong evidence (Kass and Raftery 1995)
STEADY_W = (0.05, 2.0)  # watts whose spread is below this share of their mean, or this many, never changed
MOST_STRETCHES = 8
SHORT_ROWS = 4  # a stretch with fewer temperatures tells nothing beyond where it began


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """The best network of so many stages, and what is known of it.

    `values` (p,) are the logarithms of the time constants, the resistances, what each stage had stored at
    the first row of each stretch, and the room where it is not on record. `covariance` (p, p) is theirs.
    `residuals` (n,) are nan where no temperature was read. `worth` is how many rows that do not hang
    together the log is worth.
    """

    log: HeatLog
    stages: int
    values: Floats
    covariance: Floats
    residuals: Floats
    worth: float

    @property
    def seconds(self) -> Floats:
        """The time constants, shape (stages,), the quickest first."""
        return np.exp(self.values[: self.stages])

    @property
    def c_per_w(self) -> Floats:
        """The resistances, shape (stages,)."""
        return self.values[self.stages : 2 * self.stages]

    @property
    def df(self) -> float:
        """Degrees of freedom behind the bands."""
        return max(self.worth - self.values.size, 3.0)

    @property
    def explained(self) -> float:
        """Which share of the temperature's changes the network explains, at most 1; 0 if it stood still."""
        read = self.log.temperature_c[self.log.read]
        changes = float(((read - read.mean()) ** 2).sum())
        left = self.residuals[np.isfinite(self.residuals)]
        return 1 - float(left @ left) / changes if changes else 0.0

    @property
    def spread_c(self) -> float:
        """The standard deviation of what the network leaves unexplained, in °C."""
        left = self.residuals[np.isfinite(self.residuals)]
        return math.sqrt(float(left @ left) / max(left.size - self.values.size, 1))

    def error(self, weights: Floats) -> float:
        """The standard error of a sum of the values with these weights, shape (p,)."""
        return math.sqrt(max(float(weights @ self.covariance @ weights), 0.0))

    def seconds_bands(self) -> tuple[Band, ...]:
        """Each time constant with its band."""
        errors = np.sqrt(np.diag(self.covariance))
        return tuple(around_log(float(s), float(errors[k]), self.df) for k, s in enumerate(self.seconds))

    def c_per_w_bands(self) -> tuple[Band, ...]:
        """Each resistance with its band."""
        errors = np.sqrt(np.diag(self.covariance))[self.stages :]
        return tuple(around(float(r), float(errors[k]), self.df) for k, r in enumerate(self.c_per_w))

    def whole(self) -> Band:
        """Degrees per watt once everything is warm: the sum of the resistances."""
        weights = np.zeros(self.values.size)
        weights[self.stages : 2 * self.stages] = 1.0
        return around(float(self.c_per_w.sum()), self.error(weights), self.df)

    def whole_known(self) -> Known:
        """The same with its standard error."""
        band = self.whole()
        return Known(value=band.value, sd=band.half / reach(self.df))

    def of(self, log: HeatLog, values: Floats | None = None) -> Floats:
        """Temperatures of a log that goes on from this one's, row by row, shape (n,); by other values too."""
        at = self.values if values is None else values
        responses = (response(log, seconds) for seconds in np.exp(at[: self.stages]))
        return _columns(log, responses) @ at[self.stages :] + _base(log)


def fit_network(log: HeatLog, *, stages: int | None = None) -> Fit:
    """The network of a log: of so many stages (1 or 2), or of as many as it shows.

    Raises `NotEnoughRuns` where the watts never changed and the room is not on record, or were next to none,
    so that no resistance can be told, or where the log has fewer readings than there is to find.
    """
    log = told_stretches(log)
    if not log.time_s.size:
        raise NotEnoughRuns("no stretch of the log has four temperatures", todo=RECORD)
    if not varied(log):
        if log.room_c is None:
            raise NotEnoughRuns(
                "the power never changed and the room is not on record, so that degrees per watt cannot be "
                "told from a warmer room", todo="write the room's temperature down, or " + RECORD,
            )  # fmt: skip
        if log.watts.mean() < STEADY_W[1]:
            raise NotEnoughRuns("the part drew next to nothing throughout", todo=RECORD)
        stages = 1  # two resistances and what both stages had stored cannot be told apart then
    if stages is not None:
        return _known(_best(log, stages), log)
    one, two = _best(log, 1), _best(log, 2)
    if two is None:
        return _known(one, log)
    both = [_known(found, log) for found in (one, two)]
    return both[1] if favours_two(*both) else both[0]


def favours_two(one: Fit, two: Fit) -> bool:
    """Whether a second stage is worth its values: twice the log likelihood gained, less their price.

    Both are judged by what rows are worth beside the better of them: what one stage leaves out makes its own
    residuals hang together.
    """
    apart = two.seconds[1] / two.seconds[0]
    worth = two.worth
    gain = worth * math.log(_squares(one) / _squares(two))
    price = (two.values.size - one.values.size) * math.log(worth)
    return bool(apart > APART and two.c_per_w.min() > 0 and gain - price > WORTH)


def _squares(fit: Fit) -> float:
    left = fit.residuals[np.isfinite(fit.residuals)]
    return max(float(left @ left), 1e-12 * left.size)


def varied(log: HeatLog) -> bool:
    """Whether the watts changed enough over the log to tell degrees per watt from a wrong room."""
    share, least = STEADY_W
    return float(np.std(log.watts)) > max(share * float(np.mean(log.watts)), least)


def told_stretches(log: HeatLog) -> HeatLog:
    """The longest few stretches of a log, without those in which hardly any temperature was read.

    Each stretch begins with values of its own to be found: many short ones would tell little and take long.
    """
    rows = np.bincount(log.stretch, weights=log.read)
    longest = np.argsort(-rows, kind="stable")[:MOST_STRETCHES]
    told = np.isin(np.arange(rows.size), longest) & (rows >= SHORT_ROWS)
    kept = told[log.stretch]
    if kept.all():
        return log
    return replace(log.only(kept), left_out=log.left_out + int(rows.size - told.sum()))


def _base(log: HeatLog) -> Floats:
    return np.zeros(log.time_s.size) if log.room_c is None else log.room_c


def _columns(log: HeatLog, responses: Iterable[Response]) -> Floats:
    """What temperatures above the room are a sum of, shape (n, linear), by what each stage does."""
    pairs = list(responses)
    columns = [warmed for warmed, _ in pairs]
    own = log.stretch[:, None] == np.arange(log.stretches)
    columns += [left * each for _, left in pairs for each in own.T]
    return np.column_stack([*columns, np.ones(log.time_s.size)] if log.room_c is None else columns)


def _best(log: HeatLog, stages: int) -> tuple[Floats, Floats] | None:
    """Time constants and coefficients with the least squares; None where readings are too few for so many."""
    if log.read.sum() < stages + stages * (1 + log.stretches) + 8:
        if stages == 1:
            raise NotEnoughRuns("there are fewer temperatures than there is to find", todo=RECORD)
        return None
    problem = _Problem(log, stages)
    return problem.solved()


class _Problem:
    """The search for the time constants of so many stages."""

    def __init__(self, log: HeatLog, stages: int) -> None:
        self.log, self.stages = log, stages
        self.read: Flags = log.read
        self.target = (log.temperature_c - _base(log))[self.read]
        self.ends = (math.log(log.step_s / 2), math.log(SLOWEST_SPANS * log.span_s))

    def solved(self) -> tuple[Floats, Floats]:
        """The best logarithms of time constants, and their coefficients."""
        from scipy.optimize import least_squares  # slow to load, and seldom needed

        tries = [
            least_squares(self.left, start, bounds=self.ends, x_scale=0.3, ftol=1e-9, xtol=1e-7, max_nfev=60)
            for start in self.starts()
        ]
        best: Floats = np.sort(min(tries, key=lambda found: float(found.cost)).x)
        return best, self.coefficients(self.at(best))[0]

    def starts(self) -> list[Floats]:
        """Places on a grid, the best first."""
        grid = np.linspace(*self.ends, GRID + 2)[1:-1]
        responses = {each: response(self.log, math.exp(each)) for each in grid}
        places = list(combinations(grid, self.stages))
        left = [self.coefficients(tuple(responses[each] for each in place))[1] for place in places]
        order = np.argsort([each @ each for each in left])
        return [np.array(places[k]) for k in order[:REFINED]]

    def at(self, logs: Floats) -> tuple[Response, ...]:
        """What stages with these time constants do."""
        return tuple(response(self.log, each) for each in np.exp(logs))

    def left(self, logs: Floats) -> Floats:
        """What is left unexplained at these time constants, shape (readings,)."""
        return self.coefficients(self.at(logs))[1]

    def coefficients(self, responses: tuple[Response, ...]) -> tuple[Floats, Floats]:
        """The best coefficients, no resistance below 0, and what they leave."""
        columns = _columns(self.log, responses)[self.read]
        for held in _choices(self.stages):
            kept = [k for k in range(columns.shape[1]) if k not in held]
            found = np.zeros(columns.shape[1])
            found[kept] = _least(columns[:, kept], self.target)
            if (found[: self.stages] >= 0).all():
                break
        return found, self.target - columns @ found


def _least(columns: Floats, target: Floats) -> Floats:
    """Coefficients with the least squares; a direction that the rows say nothing about has none."""
    q, r = np.linalg.qr(columns)
    found: Floats = np.linalg.lstsq(r, q.T @ target, rcond=1e-10)[0]
    return found


def _choices(stages: int) -> list[tuple[int, ...]]:
    """Which resistances are held at 0, the fewest first."""
    return [held for n in range(stages + 1) for held in combinations(range(stages), n)]


def _known(found: tuple[Floats, Floats] | None, log: HeatLog) -> Fit:
    """A fit with what is known of it."""
    if found is None:
        raise NotEnoughRuns("there are fewer temperatures than there is to find", todo=RECORD)
    logs, coefficients = found
    values = np.concatenate([logs, coefficients])
    bare = Fit(log=log, stages=len(logs), values=values, covariance=np.zeros((values.size,) * 2),
               residuals=np.full(log.time_s.size, np.nan), worth=1.0)  # fmt: skip
    residuals = log.temperature_c - bare.of(log)
    read = log.read
    left = residuals[read]
    return Fit(
        log=log, stages=len(logs), values=values, residuals=residuals,
        covariance=sandwich(slopes(partial(bare.of, log), values)[read], left),
        worth=left.size / memory(left),
    )  # fmt: skip
