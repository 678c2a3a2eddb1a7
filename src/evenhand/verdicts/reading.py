"""What is read off a case: for every pair the order, the outcome and the value, for many states at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Flags, Floats
from evenhand.verdicts.calling import called_together
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import PairGrounds
from evenhand.verdicts.moves import Aspect
from evenhand.verdicts.standing import (
    UNSETTLED,
    VALUE_UNKNOWN,
    Codes,
    Summed,
    outcome_codes,
    paid_log,
    sum_each,
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

    def only(self, places: Sequence[int]) -> LaidPair:
        """Some of the weightings."""
        at = list(places)
        return LaidPair(
            grounds=self.grounds, weights=self.weights[at], price=self.price[at], missing=self.missing[at]
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """A pair summed up in M states, shapes (M,), by its merit: all that is weighed but the price.

    `price_share` is the price's share of all that has a number, `missing` the share that has none.
    """

    a: str
    b: str
    merit: Summed
    price_share: Floats
    missing: Floats

    def repeated(self, times: int) -> Sums:
        """Each state so many times in turn."""
        return Sums(
            a=self.a, b=self.b, merit=self.merit.repeated(times),
            price_share=np.repeat(self.price_share, times), missing=np.repeat(self.missing, times),
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True)  # no slots: what is worked out once is kept beside the fields
class Readings:
    """Of one pair in M states, shapes (M,): the sum with its price, without, and what they say.

    `called` says whether p is low enough beside the other pairs. `order` is the sign of d; `value` that of
    the money (unknown without prices), `paid` being the log of a's price over b's; `missing` as of `Sums`.
    """

    summed: Summed
    merit: Summed
    called: Flags
    outcome: Codes
    missing: Floats
    paid: Floats | None

    @cached_property
    def order(self) -> Codes:
        """1 where a is in front, −1 where b is, 0 where neither."""
        return np.sign(self.summed.d).astype(np.int8)

    @cached_property
    def value(self) -> Codes:
        """Where the money is better spent."""
        if self.paid is None:
            return np.full(len(self.merit.d), VALUE_UNKNOWN, np.int8)
        return _where_seen(self.missing, value_codes(self.merit, self.paid), VALUE_UNKNOWN)

    def code(self, aspect: Aspect) -> Codes:
        """The codes of one aspect."""
        if aspect is Aspect.ORDER:
            return self.order
        return self.outcome if aspect is Aspect.OUTCOME else self.value


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


def read(
    pairs: Sequence[LaidPair], *, margin: npt.ArrayLike, prices: Mapping[str, npt.ArrayLike], fixed_minor: int
) -> tuple[Readings, ...]:
    """Every pair in every state. `margin` is a log; margin and prices are one number or of shape (M,).

    p is adjusted (Holm 1979) over the pairs of each state. Weightings, margins and prices go together by
    broadcasting: one weighting and M prices are M states.
    """
    return say([sum_up([pair]) for pair in pairs], margin=margin, prices=prices, fixed_minor=fixed_minor)


def sum_up(states: Sequence[LaidPair]) -> Sums:
    """One pair, on whatever grounds, with the states of each after those of the one before."""
    weights = np.concatenate([pair.weights.sum(axis=1) for pair in states])
    price = np.concatenate([pair.price for pair in states])
    return Sums(
        a=states[0].grounds.a, b=states[0].grounds.b,
        merit=sum_each([(pair.grounds, pair.weights) for pair in states]),
        price_share=price / (weights + price),
        missing=np.concatenate([pair.missing for pair in states]),
    )  # fmt: skip


def say(
    pairs: Sequence[Sums], *, margin: npt.ArrayLike, prices: Mapping[str, npt.ArrayLike], fixed_minor: int
) -> tuple[Readings, ...]:
    """What every pair's sums say, as `read`."""
    paid = [_paid(pair, prices, fixed_minor=fixed_minor) for pair in pairs]
    sums = [_priced(pair, cost) for pair, cost in zip(pairs, paid, strict=True)]
    called = called_together(sums) if sums else ()
    return tuple(
        Readings(
            summed=s, merit=pair.merit, called=its, missing=pair.missing, paid=cost,
            outcome=_where_seen(pair.missing, outcome_codes(s, its, margin=margin), UNSETTLED),
        )
        for pair, s, its, cost in zip(pairs, sums, called, paid, strict=True)
    )  # fmt: skip


def with_price(pair: Sums, prices: Mapping[str, npt.ArrayLike], *, fixed_minor: int) -> Summed:
    """A pair's sums with the price in its share, where it has one."""
    return _priced(pair, _paid(pair, prices, fixed_minor=fixed_minor))


def _priced(pair: Sums, paid: Floats | None) -> Summed:
    if paid is None or not pair.price_share.any():
        return pair.merit
    return pair.merit.priced(pair.price_share, paid)


def outcomes_at(missing: Floats, readings: Readings, margins: Floats) -> Codes:
    """What the same sums say at other margins (shares), shape (M, margins); `missing` shares as of `Sums`."""
    s = readings.summed
    upright = Summed(
        d=s.d[:, None], se=s.se[:, None], df=s.df[:, None], allowance=s.allowance[:, None],
        single=s.single[:, None],
    )  # fmt: skip
    codes = outcome_codes(upright, readings.called[:, None], margin=np.log1p(margins)[None, :])
    return _where_seen(missing[:, None], codes, UNSETTLED)


def _paid(pair: Sums, prices: Mapping[str, npt.ArrayLike], *, fixed_minor: int) -> Floats | None:
    if pair.a not in prices or pair.b not in prices:
        return None
    return paid_log(prices[pair.a], prices[pair.b], fixed_minor=fixed_minor)


def _where_seen(missing: Floats, codes: Codes, unseen: int) -> Codes:
    """The codes, or `unseen` where too much of the weight stands on nothing."""
    return np.where(missing > MOST_MISSING, np.int8(unseen), codes).astype(np.int8)
