"""All pairs of a case in many states at once, each with the prices and the margin that hold there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from evenhand.findings.outcomes import ALPHA, LEVEL_INTERVAL
from evenhand.stats.quantiles import quantiles
from evenhand.stats.spread import Flags, Floats
from evenhand.verdicts.calling import Reached, reached
from evenhand.verdicts.price_ladder import PriceLadder
from evenhand.verdicts.reading import MOST_MISSING, Sums
from evenhand.verdicts.standing import UNSETTLED, Codes, Counts, Summed, held_codes, paid_log

Prices = Mapping[str, npt.ArrayLike]


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A pair in M states with what is paid: beside how many others it would be called (`far`), and what is
    said of it where it `is_called` and where not.
    """

    summed: Summed
    far: Reached
    is_called: Codes
    is_not: Codes


@dataclass(frozen=True, kw_only=True)  # no slots: what is worked out once is kept beside the fields
class States:
    """Every pair summed up in M states, the margins there (logs, (M,)) and the prices, of one number or (M,).

    `fixed_minor` is what must be bought besides.
    """

    pairs: Sequence[Sums]
    margin: Floats
    prices: Prices
    fixed_minor: int

    def hangs_on(self, pair: int, setup: str) -> bool:
        """Whether a pair's difference hangs on the price of this setup."""
        own = self.pairs[pair]
        return setup in (own.a, own.b) and self._weighs_price(own)

    def _weighs_price(self, pair: Sums) -> bool:
        return pair.a in self.prices and pair.b in self.prices and bool(pair.price_share.any())

    def said(self, pair: int) -> Said:
        """A pair at the prices that hold in each state, worked out once."""
        if pair not in self._said:
            own = self.pairs[pair]
            summed = own.merit
            if self._weighs_price(own):
                paid = paid_log(self.prices[own.a], self.prices[own.b], fixed_minor=self.fixed_minor)
                summed = own.merit.priced(own.price_share, paid)
            self._said[pair] = self._told(summed, self.margin, own.missing > MOST_MISSING)
        return self._said[pair]

    def said_at(self, pair: int, ladder: PriceLadder, state: Counts, rungs: Counts) -> Said:
        """A pair that hangs on the ladder's price, in these states with the price on these rungs, (F,)."""
        own = self.pairs[pair]
        is_a = ladder.setup == own.a
        beside = self._paid(own.b if is_a else own.a)
        beside, here = (beside[state] if beside.ndim else beside), ladder.paid[rungs]
        paid = here - beside if is_a else beside - here
        summed = own.merit.only(state).priced(own.price_share[state], paid)
        return self._told(summed, self.margin[state], own.missing[state] > MOST_MISSING)

    def turning(self, pair: int, setup: str) -> Floats:
        """The logs of what is paid for a setup at which a pair may turn, (M, K); nan where never."""
        own = self.pairs[pair]
        is_a = setup == own.a
        beside, turning = self._paid(own.b if is_a else own.a), self._turning(pair)
        beside = beside[..., None] if beside.ndim else beside
        return np.asarray(beside + turning if is_a else beside - turning)

    def _paid(self, setup: str) -> Floats:
        return np.asarray(np.log(np.asarray(self.prices[setup], float) + self.fixed_minor))

    def _turning(self, pair: int) -> Floats:
        """The same as the log of a's over b's, worked out once."""
        if pair not in self._turns:
            merit, share = self.pairs[pair].merit, self.pairs[pair].price_share
            called = (
                merit.se * quantiles(merit.df, 1 - ALPHA / 2 / k) for k in range(1, len(self.pairs) + 1)
            )
            held = merit.allowance + merit.se * quantiles(merit.df, 0.5 + LEVEL_INTERVAL / 2)
            # Of the merit's log, beside the price.
            ends = np.stack(
                [*(merit.allowance + each for each in called), self.margin / (1.0 - share) - held], axis=1
            )
            differences = np.concatenate([np.zeros((len(share), 1)), ends, -ends], axis=1)
            with np.errstate(divide="ignore", invalid="ignore"):
                self._turns[pair] = ((1.0 - share) / share)[:, None] * (merit.d[:, None] - differences)
        return self._turns[pair]

    def _told(self, summed: Summed, margin: Floats, unseen: Flags) -> Said:
        held = summed.half_held + summed.allowance
        yes, no = (held_codes(summed.d, held, np.full(held.shape, it), margin=margin) for it in (True, False))
        if unseen.any():
            yes, no = (np.where(unseen, np.int8(UNSETTLED), codes) for codes in (yes, no))
        return Said(summed=summed, far=reached(summed, len(self.pairs)), is_called=yes, is_not=no)

    @cached_property
    def _said(self) -> dict[int, Said]:
        return {}

    @cached_property
    def _turns(self) -> dict[int, Floats]:
        return {}
