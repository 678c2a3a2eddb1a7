"""How far one price must move before the money is better spent elsewhere."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Floats
from evenhand.verdicts.moves import Lever, Move, Steps
from evenhand.verdicts.standing import (
    BY_VALUE_A,
    BY_VALUE_B,
    VALUE_LEVEL,
    Codes,
    Counts,
    Summed,
    value_codes,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLadder:
    """Every price of one setup that is tried, upwards, today's at `here`; `paid` are logs of what is paid.

    `is_a` says which side of the pair it is; `fixed` is what must be bought besides.
    """

    setup: str
    is_a: bool
    minors: Counts
    paid: Floats
    here: int
    fixed: int

    def nearest(self, merit: Summed, other_minor: npt.ArrayLike, was: int) -> Floats:
        """How many rungs to the nearest price with another value than `was`, signed; nan where none has.

        For M sums or prices of the other side, by broadcasting; 0 where today's price already says otherwise.
        Value by a's price is a below the band, level within, b above it: so one value holds over one stretch
        of prices, whose ends are looked up.
        """
        up, down = self._either_way(merit, other_minor, was)
        rungs = np.where(up <= down, up, -down)
        inside = (down > 0) & (up > 0)
        return np.where(inside, np.where(np.isinf(rungs), math.nan, rungs), 0.0)

    def at_least(self, merit: Summed, other_minor: Counts, was: int) -> Floats:
        """Between one and the next of these prices of the other side, upwards: no fewer rungs than so many.

        Both ends of a stretch go up with the other side's price.
        """
        up, down = self._either_way(merit, other_minor, was)
        return np.asarray(np.maximum(np.minimum(up[:-1], down[1:]), 0.0))

    def _either_way(self, merit: Summed, other_minor: npt.ArrayLike, was: int) -> tuple[Floats, Floats]:
        """Rungs up and down to another value than `was`, inf for never, 0 or less where today's has it."""
        low, high = self._stretch(merit, np.log(np.asarray(other_minor, float) + self.fixed), was)
        up = np.where(high < len(self.minors), high - self.here, math.inf)
        return up, np.where(low > 0, self.here - low + 1, math.inf)

    def _stretch(self, merit: Summed, other: Floats, was: int) -> tuple[Counts, Counts]:
        """The rungs on which the value is `was`: from, and up to without."""
        half = merit.half_shown + merit.allowance
        sign = 1.0 if self.is_a else -1.0
        # a's price against b's, or b's against a's: the same stretches the other way round.
        first = np.searchsorted(self.paid, other + sign * merit.d - half, side="left")
        then = np.searchsorted(self.paid, other + sign * merit.d + half, side="right")
        nothing, all_of_it = np.zeros_like(first), np.full_like(first, len(self.minors))
        cheap = BY_VALUE_A if self.is_a else BY_VALUE_B
        if was == cheap:
            return nothing, first
        return (first, then) if was == VALUE_LEVEL else (then, all_of_it)

    def values(self, merit: Summed, other_minor: int, rungs: Floats) -> Codes:
        """The codes of value with the price so many rungs away, shape (M,)."""
        own, other = self.paid[self.here + rungs.astype(int)], math.log(other_minor + self.fixed)
        return value_codes(merit, own - other if self.is_a else other - own)

    def within(self, size: float) -> Floats:
        """The rungs, signed from today's, that are less than `size` of today's price away."""
        most = min(self.here, math.ceil(size * float(self.minors[self.here]) / self._step))
        rungs = np.arange(-most, most + 1, dtype=float)
        return np.asarray(rungs[self.sizes(rungs) < size])

    def move(self, rungs: float) -> Move:
        """The price moved by so many rungs."""
        before, after = float(self.minors[self.here]), float(self.minors[self.here + int(rungs)])
        return Move(
            lever=Lever.PRICE, name=self.setup, size=abs(after - before) / before, before=before, after=after
        )

    def sizes(self, rungs: Floats) -> Floats:
        """How large the moves by so many rungs are, of today's price."""
        return np.asarray(np.abs(rungs) * self._step / float(self.minors[self.here]))

    @property
    def _step(self) -> float:
        """From rung to rung, in minor units; any where a price is too small to have a second one."""
        return float(self.minors[1] - self.minors[0]) if len(self.minors) > 1 else 1.0


def ladders(
    a: str, b: str, *, prices: Mapping[str, int], fixed_minor: int, steps: Steps
) -> tuple[PriceLadder, ...]:
    """The ladders of a pair's two prices; none without both."""
    if a not in prices or b not in prices:
        return ()
    return tuple(
        _ladder(setup, prices[setup], is_a=setup == a, fixed=fixed_minor, steps=steps) for setup in (a, b)
    )


def rungs_of(setup: str, price: int, *, fixed_minor: int, steps: Steps) -> PriceLadder:
    """The ladder of one setup's price, whichever side it is on."""
    return _ladder(setup, price, is_a=True, fixed=fixed_minor, steps=steps)


def _ladder(setup: str, price: int, *, is_a: bool, fixed: int, steps: Steps) -> PriceLadder:
    minors, paid = _rungs(price, fixed, steps)
    return PriceLadder(setup=setup, is_a=is_a, minors=minors, paid=paid, here=len(minors) // 2, fixed=fixed)


@lru_cache(maxsize=32)  # the same few prices are asked about for every audience and every other change
def _rungs(price: int, fixed: int, steps: Steps) -> tuple[Counts, Floats]:
    most = int(steps.price_most * price) // steps.price_minor
    minors = price + np.arange(-most, most + 1) * steps.price_minor
    return minors, np.asarray(np.log(minors + float(fixed)))
