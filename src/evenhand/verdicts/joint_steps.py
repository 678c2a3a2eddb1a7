"""Two things that move by steps, moved together: how little of each then turns a verdict."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.findings.outcomes import from_log
from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.changes import margin_move, margin_steps, now, weight_steps
from evenhand.verdicts.flips import value_at
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move, Steps
from evenhand.verdicts.named_weights import named_weights
from evenhand.verdicts.price_ladder import PriceLadder, ladders
from evenhand.verdicts.reading import LaidPair, Readings, outcomes_at
from evenhand.verdicts.standing import VALUE_UNKNOWN, Summed

Key = tuple[str, str, Aspect, Lever, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """A case with what it says, what each change would need alone (by its key), and the steps to try."""

    case: Case
    pairs: Sequence[LaidPair]
    base: Sequence[Readings]
    need: Mapping[Key, float]
    steps: Steps

    def says(self, pair: LaidPair) -> Readings:
        """What is said of a pair as things are."""
        place = [(p.grounds.a, p.grounds.b) for p in self.pairs].index((pair.grounds.a, pair.grounds.b))
        return self.base[place]

    def alone(self, pair: LaidPair, aspect: Aspect, lever: Lever, name: str) -> float:
        """The size that this change needs alone, or where it turns nothing, all that it can have."""
        margin_most = self.steps.margin_most / self.case.study.margin
        most = {Lever.PRICE: self.steps.price_most, Lever.MARGIN: margin_most}.get(lever, 1.0)
        return self.need.get((pair.grounds.a, pair.grounds.b, aspect, lever, name), most)


def flip_key(flip: Flip) -> Key:
    """Which change turns what of which pair."""
    return flip.a, flip.b, flip.aspect, flip.moves[0].lever, flip.moves[0].name


def weight_with_price(of: Together) -> Iterator[Flip]:
    """Each named weight with each price of a pair, for what value says."""
    shares = weight_steps(of.steps.weight)
    for weight in named_weights(of.case):
        moved = now(of.case, [weight.at(shares, pair) for pair in of.pairs])
        for pair, was, then in zip(of.pairs, of.base, moved, strict=True):
            needed = of.alone(pair, Aspect.VALUE, Lever.WEIGHT, weight.name)
            first = np.abs(shares - weight.share) / needed
            for ladder, other in _ladders(of, pair, was):
                rungs = ladder.nearest(then.merit, other, int(was.value[0]))
                least = _least(first, _of_price(of, pair, ladder, rungs), usable=rungs != 0)
                if least is not None:
                    at, share = least
                    moves = (ladder.move(float(rungs[at])), weight.move(shares, at))
                    yield _by_value(of, pair, then.merit.at(at), moves, share=share)


def price_with_price(of: Together) -> Iterator[Flip]:
    """Both prices of each pair."""
    for pair, was in zip(of.pairs, of.base, strict=True):
        found = [ladder for ladder, _ in _ladders(of, pair, was)]
        if len(found) == 2:
            first, then = found
            own = np.arange(len(first.minors), dtype=float) - first.here
            rungs = then.nearest(was.merit, first.minors, int(was.value[0]))
            sizes = (_of_price(of, pair, first, own), _of_price(of, pair, then, rungs))
            least = _least(*sizes, usable=(rungs != 0) & (own != 0))
            if least is not None:
                at, share = least
                moves = (first.move(float(own[at])), then.move(float(rungs[at])))
                yield _by_value(of, pair, was.merit, moves, share=share)


def weight_with_margin(of: Together) -> Iterator[Flip]:
    """Each named weight with the margin, for the outcome."""
    shares, margins = weight_steps(of.steps.weight_of_two), margin_steps(of.case, of.steps)
    margin = of.case.study.margin
    for weight in named_weights(of.case):
        laid = [weight.at(shares, pair) for pair in of.pairs]
        for pair, moved, was, there in zip(of.pairs, laid, of.base, now(of.case, laid), strict=True):
            codes = outcomes_at(moved, there, margins)
            first = np.abs(shares - weight.share) / of.alone(pair, Aspect.OUTCOME, Lever.WEIGHT, weight.name)
            then = np.abs(margins - margin) / margin / of.alone(pair, Aspect.OUTCOME, Lever.MARGIN, "")
            both = np.broadcast_arrays(first[:, None], then[None, :])
            usable = (codes != int(was.outcome[0])) & (both[0] > 1e-9)
            least = _least(both[0].ravel(), both[1].ravel(), usable=usable.ravel())
            if least is not None:
                at = divmod(least[0], len(margins))
                yield Flip(
                    a=pair.grounds.a, b=pair.grounds.b, aspect=Aspect.OUTCOME, was=int(was.outcome[0]),
                    moves=(weight.move(shares, at[0]), margin_move(margin, margins, at[1])),
                    becomes=int(codes[at]), share=least[1],
                    ratio=from_log(float(there.summed.d[at[0]])),
                )  # fmt: skip


def _ladders(of: Together, pair: LaidPair, was: Readings) -> Iterator[tuple[PriceLadder, int]]:
    """A pair's ladders with the other side's price; none where value says nothing or price is weighed."""
    if int(was.value[0]) == VALUE_UNKNOWN or pair.price.any():
        return
    a, b, prices = pair.grounds.a, pair.grounds.b, of.case.prices
    fixed = of.case.audience.fixed_minor
    for ladder in ladders(a, b, prices=prices, fixed_minor=fixed, steps=of.steps):
        yield ladder, prices[b if ladder.is_a else a]


def _of_price(of: Together, pair: LaidPair, ladder: PriceLadder, rungs: Floats) -> Floats:
    """How much of what it would need alone a price moves by so many rungs."""
    needed = of.alone(pair, Aspect.VALUE, Lever.PRICE, ladder.setup)
    return np.asarray(ladder.sizes(rungs) / needed)


def _least(first: Floats, then: Floats, *, usable: np.ndarray) -> tuple[int, float] | None:
    """Where the larger of two shares is least, and that share; None where it is not under 1."""
    larger = np.where(usable & np.isfinite(then), np.maximum(first, then), math.inf)
    at = int(np.argmin(larger))
    return (at, float(larger[at])) if larger[at] < 1.0 else None


def _by_value(of: Together, pair: LaidPair, merit: Summed, moves: tuple[Move, ...], *, share: float) -> Flip:
    place = (pair.grounds.a, pair.grounds.b)
    return Flip(
        a=place[0], b=place[1], aspect=Aspect.VALUE, moves=moves, was=int(of.says(pair).value[0]),
        becomes=value_at(of.case, merit, place, *moves), ratio=from_log(float(merit.d[0])), share=share,
    )  # fmt: skip
