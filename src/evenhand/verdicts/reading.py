"""What is read off a case: for every pair the order, the outcome and the value, for many states at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import PairGrounds
from evenhand.verdicts.standing import (
    UNSETTLED,
    VALUE_UNKNOWN,
    Codes,
    Summed,
    holm_together,
    outcome_codes,
    paid_log,
    sum_pair,
    value_codes,
)
from evenhand.verdicts.weights import (
    Laid,
    lay_shares,
    named_parts,
    shares_of_properties,
    shares_of_tests,
)

# Where more of an audience's weight than this stands on nothing, nobody is called ahead, level or worth more.
MOST_MISSING = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidPair:
    """A pair under M weightings: `weights` (M, C), the `price`'s share and the `missing` share, both (M,)."""

    grounds: PairGrounds
    weights: Floats
    price: Floats
    missing: Floats

    @property
    def price_share(self) -> Floats:
        """The price's share of all that has a number, shape (M,)."""
        return np.asarray(self.price / (self.weights.sum(axis=1) + self.price))


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Of one pair in M states, shapes (M,): the sum with its price, without, adjusted p, and what they say.

    `order` is the sign of d; `value` that of the money (unknown without prices).
    """

    summed: Summed
    merit: Summed
    p: Floats
    outcome: Codes
    value: Codes

    @property
    def order(self) -> Codes:
        """1 where a is in front, −1 where b is, 0 where neither."""
        return np.sign(self.summed.d).astype(np.int8)


def lay_pairs(case: Case) -> tuple[LaidPair, ...]:
    """The pairs of a case under its audience's weights; those without anything that it weighs are left out.

    Raises BadRecord as `weights.named_parts`.
    """
    shares = shares_of_tests(named_parts(case.audience, study=case.study, tests=case.tests))
    properties = shares_of_properties(case.audience)
    laid = [(pair, lay_shares(shares, properties, pair, tests=case.tests)) for pair in case.pairs]
    return tuple(laid_pair(pair, [its]) for pair, its in laid if its.weights.sum() > 0)


def laid_pair(grounds: PairGrounds, laid: Sequence[Laid]) -> LaidPair:
    """One pair under several weightings."""
    return LaidPair(
        grounds=grounds,
        weights=np.array([its.weights for its in laid]),
        price=np.array([its.price for its in laid]),
        missing=np.array([its.missing_share for its in laid]),
    )


def stacked(states: Sequence[LaidPair]) -> LaidPair:
    """States of one pair on the same grounds as the states of a single one, in order."""
    return LaidPair(
        grounds=states[0].grounds,
        weights=np.concatenate([s.weights for s in states]),
        price=np.concatenate([s.price for s in states]),
        missing=np.concatenate([s.missing for s in states]),
    )


def read(
    pairs: Sequence[LaidPair], *, margin: npt.ArrayLike, prices: Mapping[str, npt.ArrayLike], fixed_minor: int
) -> tuple[Readings, ...]:
    """Every pair in every state. `margin` is a log; margin and prices are one number or of shape (M,).

    p is adjusted (Holm 1979) over the pairs of each state. Weightings, margins and prices go together by
    broadcasting: one weighting and M prices are M states.
    """
    merits = [sum_pair(pair.grounds, pair.weights) for pair in pairs]
    paid = [_paid(pair.grounds, prices, fixed_minor=fixed_minor) for pair in pairs]
    sums = [
        merit if cost is None or not pair.price.any() else merit.priced(pair.price_share, cost)
        for pair, merit, cost in zip(pairs, merits, paid, strict=True)
    ]
    adjusted = holm_together(np.broadcast_arrays(*(s.p for s in sums))) if sums else ()
    return tuple(
        Readings(
            summed=s, merit=merit, p=p,
            outcome=_where_seen(pair, outcome_codes(s, p, margin=margin), UNSETTLED),
            value=_where_seen(pair, _values(merit, cost), VALUE_UNKNOWN),
        )
        for pair, merit, s, p, cost in zip(pairs, merits, sums, adjusted, paid, strict=True)
    )  # fmt: skip


def outcomes_at(pair: LaidPair, readings: Readings, margins: Floats) -> Codes:
    """What the same sums say at other margins (shares), shape (M, margins)."""
    s = readings.summed
    upright = Summed(
        d=s.d[:, None], se=s.se[:, None], df=s.df[:, None], allowance=s.allowance[:, None],
        single=s.single[:, None],
    )  # fmt: skip
    codes = outcome_codes(upright, readings.p[:, None], margin=np.log1p(margins)[None, :])
    return np.where(pair.missing[:, None] > MOST_MISSING, np.int8(UNSETTLED), codes).astype(np.int8)


def _paid(grounds: PairGrounds, prices: Mapping[str, npt.ArrayLike], *, fixed_minor: int) -> Floats | None:
    if grounds.a not in prices or grounds.b not in prices:
        return None
    return paid_log(prices[grounds.a], prices[grounds.b], fixed_minor=fixed_minor)


def _values(merit: Summed, paid: Floats | None) -> Codes:
    if paid is None:
        return np.full(len(merit.d), VALUE_UNKNOWN, np.int8)
    return value_codes(merit, paid)


def _where_seen(pair: LaidPair, codes: Codes, unseen: int) -> Codes:
    """The codes, or `unseen` where too much of the weight stands on nothing."""
    return np.where(pair.missing > MOST_MISSING, np.int8(unseen), codes).astype(np.int8)
