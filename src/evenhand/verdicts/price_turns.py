"""How far one price must move before it turns a verdict, where the audience weighs the price itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.findings.outcomes import ALPHA, LEVEL_INTERVAL
from evenhand.stats.spread import Floats
from evenhand.stats.weighing import quantiles
from evenhand.verdicts.moves import Aspect
from evenhand.verdicts.price_ladder import PriceLadder
from evenhand.verdicts.reading import Readings, Sums, say
from evenhand.verdicts.standing import Codes, Counts

Prices = Mapping[str, npt.ArrayLike]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns:
    """Some rungs of a ladder, (M, K) for M states, and what is said of every pair at each.

    Among them are the nearest ones that turn anything, whichever way.
    """

    ladder: PriceLadder
    rungs: Counts
    readings: tuple[Readings, ...]

    def nearest(self, pair: int, aspect: Aspect, was: int) -> tuple[Floats, Codes, Floats]:
        """The nearest rungs that turn an aspect of a pair, each of shape (M,).

        Signed from today's, inf where none does; what is then said; and the log ratio.
        """
        there = self.readings[pair]
        codes = np.broadcast_to(there.code(aspect), self.rungs.size).reshape(self.rungs.shape)
        away = (self.rungs - self.ladder.here).astype(float)
        # Of two as near the dearer one.
        far = np.where((codes != was) & (away != 0), np.abs(away) - 0.25 * (away > 0), np.inf)
        at, states = far.argmin(axis=1), np.arange(len(far))
        d = np.broadcast_to(there.summed.d, self.rungs.size).reshape(self.rungs.shape)
        steps = np.where(np.isinf(far[states, at]), np.inf, away[states, at])
        return steps, codes[states, at], d[states, at]


def code(readings: Readings, aspect: Aspect) -> Codes:
    """The codes of one aspect."""
    if aspect is Aspect.ORDER:
        return readings.order
    return readings.outcome if aspect is Aspect.OUTCOME else readings.value


def turns(sums: Sequence[Sums], ladder: PriceLadder, *, margin: npt.ArrayLike, prices: Prices) -> Turns:
    """The rungs of one setup's ladder at which order or outcome may turn, for M states of all pairs.

    Along one price every pair's difference rises or falls throughout, so that what is said can turn only
    where one of them passes 0, the margin, or what p asks for beside so many other pairs (Holm 1979). The
    rungs on both sides of each such price are asked. `margin` (a log) and the other `prices` are one number
    or of shape (M,).
    """
    states = len(sums[0].missing)
    rungs = _rungs(sums, ladder, np.broadcast_to(np.asarray(margin, float), states), prices)
    many = rungs.shape[1]
    here = {s: _each(price, states, many) for s, price in prices.items()}
    readings = say(
        [pair.repeated(many) for pair in sums], margin=_each(margin, states, many),
        prices={**here, ladder.setup: ladder.minors[rungs].ravel()}, fixed_minor=ladder.fixed,
    )  # fmt: skip
    return Turns(ladder=ladder, rungs=rungs, readings=readings)


def _each(numbers: npt.ArrayLike, states: int, many: int) -> Floats:
    return np.repeat(np.broadcast_to(np.asarray(numbers, float), states), many)


def _rungs(sums: Sequence[Sums], ladder: PriceLadder, margin: Floats, prices: Prices) -> Counts:
    """The rungs to ask, (M, K): today's neighbours, and around every price at which a pair may turn."""
    found = [np.tile([ladder.here - 1, ladder.here + 1], (len(margin), 1))]
    for pair in sums:
        if ladder.setup in (pair.a, pair.b) and pair.a in prices and pair.b in prices:
            at = np.searchsorted(ladder.paid, _turning(pair, ladder, margin, prices, family=len(sums)))
            found += [at - 1, at, at + 1]
    return np.asarray(np.clip(np.concatenate(found, axis=1), 0, len(ladder.minors) - 1))


def _turning(pair: Sums, ladder: PriceLadder, margin: Floats, prices: Prices, *, family: int) -> Floats:
    """The logs of what is paid for the ladder's setup at which the pair may turn, (M, K); nan where never."""
    merit, share = pair.merit, pair.price_share
    called = [
        merit.allowance + merit.se * quantiles(merit.df, 1 - ALPHA / 2 / k) for k in range(1, family + 1)
    ]
    held = merit.allowance + merit.se * quantiles(merit.df, 0.5 + LEVEL_INTERVAL / 2)
    ends = np.stack([*called, margin / (1.0 - share) - held], axis=1)  # of the merit's log, beside the price
    differences = np.concatenate([np.zeros((len(share), 1)), ends, -ends], axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        paid = ((1.0 - share) / share)[:, None] * (merit.d[:, None] - differences)
    is_a = ladder.setup == pair.a
    other = np.asarray(prices[pair.b if is_a else pair.a], float) + ladder.fixed
    beside = np.log(other)[..., None] if other.ndim else np.log(other)
    return np.asarray(beside + paid if is_a else beside - paid)
