"""A price that the audience weighs itself, moved together with something else that moves by steps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.verdicts.before import Before
from evenhand.verdicts.joint_steps import STILL, Together, least
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move, Steps
from evenhand.verdicts.named_weights import named_weights
from evenhand.verdicts.price_ladder import PriceLadder, rungs_of
from evenhand.verdicts.price_states import States
from evenhand.verdicts.price_turns import turns
from evenhand.verdicts.steps_after import margin_move, margin_steps, weight_steps
from evenhand.verdicts.worth_asking import Sought

OUTCOME = Aspect.OUTCOME
ORDER_AND_OUTCOME = (Aspect.ORDER, OUTCOME)


def price_with_steps(of: Together) -> Iterator[Flip]:
    """Each price with each named weight, with another price and with the margin, for order and outcome."""
    if of.before.price_weighed:
        yield from price_with_weight(of)
        yield from price_with_price(of)
        yield from price_with_margin(of)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What moves beside a price, in M states: how far it `goes` by pair and aspect, each (M,), and how.

    `setup` is the one whose price it is, where it is one: the others' numbers stay as they are.
    """

    states: States
    goes: Sequence[Mapping[Aspect, Floats]]
    moves: Sequence[Move]
    setup: str = ""


def price_with_weight(of: Together) -> Iterator[Flip]:
    """Each named weight with each price."""
    shares, before = weight_steps(of.steps.weight_of_two), of.before
    for weight in named_weights(before.case):
        beside = Beside(
            states=before.states(of.moved(weight, shares)),
            goes=_goes(before, of.of_weight, weight, shares),
            moves=[weight.move(shares, at) for at in range(len(shares))],
        )
        for ladder in _ladders(of, of.steps):
            yield from _least_of(of, ladder, beside)


def price_with_price(of: Together) -> Iterator[Flip]:
    """Every two prices, by coarser steps than one alone."""
    before = of.before
    for first, then in combinations(_ladders(of, of.steps, of_two=True), 2):
        own = np.arange(len(first.minors), dtype=float) - first.here
        sums = [pair.repeated(len(own)) for pair in before.sums()]
        beside = Beside(
            states=before.states(sums, prices={**before.case.prices, first.setup: first.minors}),
            goes=_goes(before, of.of_price, first, own),
            moves=[first.move(float(rungs)) for rungs in own], setup=first.setup,
        )  # fmt: skip
        yield from _least_of(of, then, beside)


def price_with_margin(of: Together) -> Iterator[Flip]:
    """Each price with the margin, for what is called."""
    before, margins = of.before, margin_steps(of.before, of.steps)
    was = before.case.study.margin
    nowhere = np.full(len(margins), np.inf)  # the margin has nothing to do with who is in front
    sums = [pair.repeated(len(margins)) for pair in before.sums()]
    beside = Beside(
        states=before.states(sums, margin=np.log1p(margins)),
        goes=[{Aspect.ORDER: nowhere, OUTCOME: of.of_margin(i, margins)} for i in range(len(sums))],
        moves=[margin_move(was, margins, at) for at in range(len(margins))],
    )
    for ladder in _ladders(of, of.steps):
        yield from _least_of(of, ladder, beside)


def _goes(before: Before, of: Callable[..., Floats], *what: object) -> list[Mapping[Aspect, Floats]]:
    """How far something goes of what it needs alone, by pair and aspect."""
    return [{aspect: of(i, aspect, *what) for aspect in ORDER_AND_OUTCOME} for i in range(len(before.pairs))]


def _ladders(of: Together, steps: Steps, *, of_two: bool = False) -> Iterator[PriceLadder]:
    for setup, price in of.before.case.prices.items():
        coarse = max(round(price * steps.price_of_two / steps.price_minor), 1) * steps.price_minor
        own = replace(steps, price_minor=coarse) if of_two else steps
        yield rungs_of(setup, price, fixed_minor=of.before.case.audience.fixed_minor, steps=own)


def _least_of(of: Together, ladder: PriceLadder, beside: Beside) -> Iterator[Flip]:
    """By pair and aspect the least of both that turns it: the price moves last."""
    found = turns(beside.states, ladder, _sought(of, ladder, beside))
    for i, aspect in product(range(len(found.pairs)), ORDER_AND_OUTCOME):
        rungs, becomes, d = found.nearest(i, aspect, of.before.was(i, aspect))
        goes = beside.goes[i][aspect]
        where = least(goes, of.of_price(i, aspect, ladder, rungs), usable=goes > STILL)
        if where is not None:
            at, share = where
            moves = sorted((ladder.move(float(rungs[at])), beside.moves[at]), key=_price_first)
            yield of.before.flip(i, aspect, tuple(moves), becomes=becomes[at], d=d[at], share=share)


def _sought(of: Together, ladder: PriceLadder, beside: Beside) -> list[Sought]:
    return [
        Sought(
            outcome=of.before.was(i, OUTCOME), goes=goes,
            most={k: of.alone(i, k, Lever.PRICE, ladder.setup) for k in ORDER_AND_OUTCOME},
            still=bool(beside.setup) and beside.setup not in of.before.place(i),
        )
        for i, goes in enumerate(beside.goes)
    ]  # fmt: skip


def _price_first(move: Move) -> bool:
    return move.lever is not Lever.PRICE
