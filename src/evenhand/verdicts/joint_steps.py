"""Two things that move by steps, moved together: how little of each then turns a verdict."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from evenhand.stats.spread import Flags, Floats
from evenhand.verdicts.before import Before
from evenhand.verdicts.moves import Aspect, Flip, Lever, Steps
from evenhand.verdicts.named_weights import NamedWeight, named_weights
from evenhand.verdicts.price_ladder import PriceLadder, ladders
from evenhand.verdicts.reading import Sums, outcomes_at
from evenhand.verdicts.standing import VALUE_UNKNOWN
from evenhand.verdicts.steps_after import margin_move, margin_steps, weight_steps

Key = tuple[str, str, Aspect, Lever, str]
BLOCK = 64
STILL = 1e-9  # a share of what a thing needs that is no move at all


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """A case before it, what each change would need alone (by its key), and the steps to try."""

    before: Before
    need: Mapping[Key, float]
    steps: Steps

    def alone(self, pair: int, aspect: Aspect, lever: Lever, name: str) -> float:
        """The size that this change needs alone, or where it turns nothing, all that it can have."""
        margin_most = self.steps.margin_most / self.before.case.study.margin
        most = {Lever.PRICE: self.steps.price_most, Lever.MARGIN: margin_most}.get(lever, 1.0)
        return self.need.get((*self.before.place(pair), aspect, lever, name), most)

    def of_weight(self, pair: int, aspect: Aspect, weight: NamedWeight, shares: Floats) -> Floats:
        """How much of what it would need alone a weight moves to each of these shares."""
        return np.asarray(np.abs(shares - weight.share) / self.alone(pair, aspect, Lever.WEIGHT, weight.name))

    def of_price(self, pair: int, aspect: Aspect, ladder: PriceLadder, rungs: Floats) -> Floats:
        """The same of a price that moves by so many rungs."""
        return np.asarray(ladder.sizes(rungs) / self.alone(pair, aspect, Lever.PRICE, ladder.setup))

    def of_margin(self, pair: int, margins: Floats) -> Floats:
        """The same of the margin."""
        was = self.before.case.study.margin
        return np.asarray(np.abs(margins - was) / was / self.alone(pair, Aspect.OUTCOME, Lever.MARGIN, ""))

    def moved(self, weight: NamedWeight, shares: Floats) -> list[Sums]:
        """Every pair summed up with a weight at each of these shares."""
        return weight.sums_at(shares, self.before.pairs)


def flip_key(flip: Flip) -> Key:
    """Which change turns what of which pair."""
    return flip.a, flip.b, flip.aspect, flip.moves[0].lever, flip.moves[0].name


def weight_with_value(of: Together) -> Iterator[Flip]:
    """Each named weight with each price of a pair, for what value says."""
    shares = weight_steps(of.steps.weight)
    for weight in named_weights(of.before.case):
        for i, there in enumerate(of.moved(weight, shares)):
            first = of.of_weight(i, Aspect.VALUE, weight, shares)
            for ladder, other in _ladders(of, i):
                rungs = ladder.nearest(there.merit, other, of.before.was(i, Aspect.VALUE))
                then = of.of_price(i, Aspect.VALUE, ladder, rungs)
                found = least(first, then, usable=rungs != 0)
                if found is not None:
                    at, share = found
                    moves = (ladder.move(float(rungs[at])), weight.move(shares, at))
                    becomes = of.before.value_at(i, there, at, *moves)
                    yield of.before.flip(
                        i, Aspect.VALUE, moves, becomes=becomes, d=there.merit.d[at], share=share,
                        merit=there.merit.at(at),
                    )  # fmt: skip


def price_with_value(of: Together) -> Iterator[Flip]:
    """Both prices of each pair, for what value says."""
    for i, sums in enumerate(of.before.sums()):
        found = [ladder for ladder, _ in _ladders(of, i)]
        if len(found) == 2:
            first, then = found
            # Further than it needs alone it turns the value by itself.
            own = first.within(of.alone(i, Aspect.VALUE, Lever.PRICE, first.setup))
            own = own[_may_be_least(of, i, (first, then), own, sums)]
            minors = first.minors[first.here + own.astype(int)]
            rungs = then.nearest(sums.merit, minors, of.before.was(i, Aspect.VALUE))
            sizes = (of.of_price(i, Aspect.VALUE, first, own), of.of_price(i, Aspect.VALUE, then, rungs))
            where = least(*sizes, usable=(rungs != 0) & (own != 0))
            if where is not None:
                at, share = where
                moves = (first.move(float(own[at])), then.move(float(rungs[at])))
                becomes = of.before.value_at(i, sums, 0, *moves)
                yield of.before.flip(
                    i, Aspect.VALUE, moves, becomes=becomes, d=sums.merit.d[0], share=share, merit=sums.merit
                )


def _may_be_least(
    of: Together, pair: int, prices: tuple[PriceLadder, PriceLadder], own: Floats, sums: Sums
) -> Flags:
    """Which rungs of the first price may be those where the larger of both shares is least.

    Every `BLOCK`th is tried; between two of them neither price goes less far than at the nearer end of its
    own stretch, so that most of what lies between can be left out.
    """
    first, then = prices
    ends = np.unique(np.append(np.arange(0, len(own), BLOCK), max(len(own) - 1, 0)))
    minors, was = first.minors[first.here + own[ends].astype(int)], of.before.was(pair, Aspect.VALUE)
    goes = of.of_price(pair, Aspect.VALUE, first, own[ends])
    rungs = then.nearest(sums.merit, minors, was)
    tried = np.maximum(goes, of.of_price(pair, Aspect.VALUE, then, rungs))
    best = np.min(tried[(rungs != 0) & (own[ends] != 0) & np.isfinite(tried)], initial=math.inf)
    least_own = np.where(own[ends][:-1] * own[ends][1:] > 0, np.minimum(goes[:-1], goes[1:]), 0.0)
    least_then = of.of_price(pair, Aspect.VALUE, then, then.at_least(sums.merit, minors, was))
    near = np.maximum(least_own, least_then) <= best
    return np.append(np.repeat(near, np.diff(ends)), True)[: len(own)]


def weight_with_margin(of: Together) -> Iterator[Flip]:
    """Each named weight with the margin, for the outcome."""
    shares, margins = weight_steps(of.steps.weight_of_two), margin_steps(of.before, of.steps)
    margin = of.before.case.study.margin
    for weight in named_weights(of.before.case):
        moved = of.moved(weight, shares)
        for i, there in enumerate(of.before.say(moved)):
            codes = outcomes_at(moved[i].missing, there, margins)
            first, then = of.of_weight(i, Aspect.OUTCOME, weight, shares), of.of_margin(i, margins)
            both = np.broadcast_arrays(first[:, None], then[None, :])
            usable = (codes != of.before.was(i, Aspect.OUTCOME)) & (both[0] > STILL)
            found = least(both[0].ravel(), both[1].ravel(), usable=usable.ravel())
            if found is not None:
                at, share = divmod(found[0], len(margins)), found[1]
                yield of.before.flip(
                    i, Aspect.OUTCOME, (weight.move(shares, at[0]), margin_move(margin, margins, at[1])),
                    becomes=codes[at], d=there.summed.d[at[0]], share=share,
                )  # fmt: skip


def _ladders(of: Together, pair: int) -> Iterator[tuple[PriceLadder, int]]:
    """A pair's ladders with the other side's price; none where value says nothing."""
    if of.before.was(pair, Aspect.VALUE) == VALUE_UNKNOWN:
        return
    (a, b), case = of.before.place(pair), of.before.case
    for ladder in ladders(a, b, prices=case.prices, fixed_minor=case.audience.fixed_minor, steps=of.steps):
        yield ladder, case.prices[b if ladder.is_a else a]


def least(first: Floats, then: Floats, *, usable: Flags) -> tuple[int, float] | None:
    """Where the larger of two shares is least, and that share; None where it is not under 1."""
    larger = np.where(usable & np.isfinite(then), np.maximum(first, then), math.inf)
    at = int(np.argmin(larger))
    return (at, float(larger[at])) if larger[at] < 1.0 else None
