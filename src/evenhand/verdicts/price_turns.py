"""How far one price must move before it turns a verdict, where the audience weighs the price itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from evenhand.findings.outcomes import ALPHA, LEVEL_INTERVAL
from evenhand.stats.spread import Flags, Floats
from evenhand.stats.weighing import quantiles
from evenhand.verdicts.calling import called_among, reached
from evenhand.verdicts.moves import Aspect
from evenhand.verdicts.price_ladder import PriceLadder
from evenhand.verdicts.reading import MOST_MISSING, Sums
from evenhand.verdicts.standing import UNSETTLED, Codes, Counts, Summed, held_codes, paid_log

Prices = Mapping[str, npt.ArrayLike]

Where: TypeAlias = Counts | slice
"""Which of a pair's own states each place is: each by itself where its price moves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What is said of one pair at F places: who is in front, what is called, and the log ratio.

    `d` is that of the pair's own states, of which every place is one (`at`).
    """

    d: Floats
    at: Where
    order: Codes
    outcome: Codes


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns:
    """Some rungs of a ladder for each of `states` states, F places in all, and what is said of pairs there.

    Among them are the nearest ones that turn anything, whichever way. Places stand state by state (`state`),
    the nearest to today's price first, and of two as near the dearer one.
    """

    ladder: PriceLadder
    states: int
    state: Counts
    rungs: Counts
    said: tuple[Said, ...]

    def nearest(self, pair: int, aspect: Aspect, was: int) -> tuple[Floats, Codes, Floats]:
        """The nearest rungs that turn an aspect of a pair, each of shape (states,).

        Signed from today's, inf where none does; what is then said; and the log ratio.
        """
        there = self.said[pair]
        codes = there.order if aspect is Aspect.ORDER else there.outcome
        turned = np.flatnonzero(codes != was)
        own = self.state[turned]
        first = np.ones(len(own), bool)
        first[1:] = own[1:] != own[:-1]
        at, of = turned[first], own[first]
        steps, becomes = np.full(self.states, np.inf), np.zeros(self.states, np.int8)
        d = np.zeros(self.states)
        steps[of], becomes[of], d[of] = self.rungs[at] - self.ladder.here, codes[at], there.d[there.at][at]
        return steps, becomes, d


def turns(sums: Sequence[Sums], ladder: PriceLadder, *, margin: npt.ArrayLike, prices: Prices) -> Turns:
    """The rungs of one setup's ladder at which order or outcome may turn, for M states of all pairs.

    Along one price every pair's difference rises or falls throughout, so that what is said can turn only
    where one of them passes 0, the margin, or what p asks for beside so many other pairs (Holm 1979). The
    rungs on both sides of each such price are asked. `margin` (a log) and the other `prices` are one number
    or of shape (M,).
    """
    states = len(sums[0].missing)
    margins = np.broadcast_to(np.asarray(margin, float), states)
    state, rungs = _places(_rungs(sums, ladder, margins, prices), ladder.here)
    summed = [_priced_at(pair, ladder, prices, state, rungs) for pair in sums]
    called = called_among(np.stack([reached(s, len(sums))[at] for s, at in summed]))
    said = tuple(
        _said(pair, s, at, (called[i], margins, state))
        for i, (pair, (s, at)) in enumerate(zip(sums, summed, strict=True))
    )
    return Turns(ladder=ladder, states=states, state=state, rungs=rungs, said=said)


def _places(rungs: Counts, here: int) -> tuple[Counts, Counts]:
    """Each rung of each state once, the nearest first, today's left out: every place's state and rung."""
    away = rungs - here
    # Twice how far, one less for the dearer of two as near.
    far = np.sort((2 * np.abs(away) - (away > 0)).astype(np.int32), axis=1)
    fresh = far > 0
    fresh[:, 1:] &= far[:, 1:] != far[:, :-1]
    state, at = np.nonzero(fresh)
    found = far[state, at].astype(np.int64)
    return state, here + np.where(found % 2 == 1, (found + 1) // 2, -found // 2)


def _priced_at(
    pair: Sums, ladder: PriceLadder, prices: Prices, state: Counts, rungs: Counts
) -> tuple[Summed, Where]:
    """The pair with what is paid: place by place where the ladder's setup is of it, else state by state."""
    if pair.a not in prices or pair.b not in prices or not pair.price_share.any():
        return pair.merit, state
    if ladder.setup not in (pair.a, pair.b):
        paid = paid_log(prices[pair.a], prices[pair.b], fixed_minor=ladder.fixed)
        return pair.merit.priced(pair.price_share, paid), state
    other = np.asarray(prices[pair.b if ladder.setup == pair.a else pair.a], float)
    beside = np.log(other + ladder.fixed)
    beside, own = (beside[state] if beside.ndim else beside), ladder.paid[rungs]
    paid = own - beside if ladder.setup == pair.a else beside - own
    return pair.merit.only(state).priced(pair.price_share[state], paid), slice(None)


def _said(pair: Sums, summed: Summed, at: Where, asked: tuple[Flags, Floats, Counts]) -> Said:
    """What is said where these are called; what does not hang on the price is worked out once a state."""
    called, margin, state = asked
    held, unseen = summed.half_held + summed.allowance, pair.missing > MOST_MISSING
    if isinstance(at, slice):
        codes = held_codes(summed.d, held, called, margin=margin[state])
        codes = np.where(unseen[state], np.int8(UNSETTLED), codes) if unseen.any() else codes
    else:
        each = (held_codes(summed.d, held, np.full(len(held), yes), margin=margin) for yes in (True, False))
        codes = np.where(called, *(np.where(unseen, np.int8(UNSETTLED), own)[at] for own in each))
    return Said(d=summed.d, at=at, order=np.sign(summed.d).astype(np.int8)[at], outcome=codes)


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
