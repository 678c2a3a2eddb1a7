"""A price that the audience weighs itself, moved together with something else that moves by steps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.verdicts.joint_steps import STILL, Together, least
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move, Steps
from evenhand.verdicts.named_weights import named_weights
from evenhand.verdicts.price_ladder import PriceLadder, rungs_of
from evenhand.verdicts.price_turns import Prices, Turns, turns
from evenhand.verdicts.steps_after import margin_move, margin_steps, weight_steps

ORDER_AND_OUTCOME = (Aspect.ORDER, Aspect.OUTCOME)


def price_with_steps(of: Together) -> Iterator[Flip]:
    """Each price with each named weight, with another price and with the margin, for order and outcome."""
    if of.before.price_weighed:
        yield from price_with_weight(of)
        yield from price_with_price(of)
        yield from price_with_margin(of)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What moves beside a price: how far it goes in each of M states, by pair and aspect, and how."""

    goes: Sequence[Sequence[Floats]]
    moves: Sequence[Move]


def price_with_weight(of: Together) -> Iterator[Flip]:
    """Each named weight with each price."""
    shares, prices = weight_steps(of.steps.weight_of_two), of.before.case.prices
    for weight in named_weights(of.before.case):
        sums = of.moved(weight, shares)
        goes = [
            [of.of_weight(i, aspect, weight, shares) for aspect in ORDER_AND_OUTCOME]
            for i in range(len(sums))
        ]
        beside = Beside(goes=goes, moves=[weight.move(shares, at) for at in range(len(shares))])
        for ladder in _ladders(of, of.steps):
            yield from _least_of(of, turns(sums, ladder, margin=of.before.margin, prices=prices), beside)


def price_with_price(of: Together) -> Iterator[Flip]:
    """Every two prices, by coarser steps than one alone."""
    before, prices = of.before, of.before.case.prices
    for first, then in combinations(_ladders(of, of.steps, of_two=True), 2):
        own = np.arange(len(first.minors), dtype=float) - first.here
        sums = [pair.repeated(len(own)) for pair in before.sums()]
        goes = [
            [of.of_price(i, aspect, first, own) for aspect in ORDER_AND_OUTCOME] for i in range(len(sums))
        ]
        beside = Beside(goes=goes, moves=[first.move(float(rungs)) for rungs in own])
        both: Prices = {**prices, first.setup: first.minors}
        yield from _least_of(of, turns(sums, then, margin=before.margin, prices=both), beside)


def price_with_margin(of: Together) -> Iterator[Flip]:
    """Each price with the margin, for what is called."""
    before, margins = of.before, margin_steps(of.before, of.steps)
    was = before.case.study.margin
    sums = [pair.repeated(len(margins)) for pair in before.sums()]
    nowhere = np.full(len(margins), np.inf)  # the margin has nothing to do with who is in front
    goes = [[nowhere, of.of_margin(i, margins)] for i in range(len(sums))]
    beside = Beside(goes=goes, moves=[margin_move(was, margins, at) for at in range(len(margins))])
    for ladder in _ladders(of, of.steps):
        found = turns(sums, ladder, margin=np.log1p(margins), prices=before.case.prices)
        yield from _least_of(of, found, beside)


def _ladders(of: Together, steps: Steps, *, of_two: bool = False) -> Iterator[PriceLadder]:
    for setup, price in of.before.case.prices.items():
        coarse = max(round(price * steps.price_of_two / steps.price_minor), 1) * steps.price_minor
        own = replace(steps, price_minor=coarse) if of_two else steps
        yield rungs_of(setup, price, fixed_minor=of.before.case.audience.fixed_minor, steps=own)


def _least_of(of: Together, found: Turns, beside: Beside) -> Iterator[Flip]:
    """By pair and aspect the least of both that turns it: the price moves last."""
    for i, (k, aspect) in product(range(len(found.said)), enumerate(ORDER_AND_OUTCOME)):
        rungs, becomes, d = found.nearest(i, aspect, of.before.was(i, aspect))
        goes = beside.goes[i][k]
        where = least(goes, of.of_price(i, aspect, found.ladder, rungs), usable=goes > STILL)
        if where is not None:
            at, share = where
            moves = sorted((found.ladder.move(float(rungs[at])), beside.moves[at]), key=_price_first)
            yield of.before.flip(i, aspect, tuple(moves), becomes=becomes[at], d=d[at], share=share)


def _price_first(move: Move) -> bool:
    return move.lever is not Lever.PRICE
