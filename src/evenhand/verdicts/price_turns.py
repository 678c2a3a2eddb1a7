"""How far one price must move before it turns a verdict, where the audience weighs the price itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from evenhand.stats.spread import Flags, Floats
from evenhand.verdicts.calling import called_among
from evenhand.verdicts.moves import Aspect
from evenhand.verdicts.price_ladder import PriceLadder
from evenhand.verdicts.price_states import Said, States
from evenhand.verdicts.standing import Codes, Counts
from evenhand.verdicts.worth_asking import Sought, Worth

Where: TypeAlias = Counts | slice
"""Which of a pair's own states each place is: each by itself where its price moves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """What is said of one pair, every one of F places being one of its states (`at`), and `called` there."""

    said: Said
    at: Where
    called: Flags

    def codes(self, aspect: Aspect) -> Codes:
        """The codes of who is in front or of what is called, shape (F,)."""
        if aspect is Aspect.ORDER:
            return np.sign(self.said.summed.d).astype(np.int8)[self.at]
        return np.where(self.called, self.said.is_called[self.at], self.said.is_not[self.at])


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
    pairs: tuple[Placed, ...]

    def nearest(self, pair: int, aspect: Aspect, was: int) -> tuple[Floats, Codes, Floats]:
        """The nearest rungs that turn an aspect of a pair, each of shape (states,).

        Signed from today's, inf where none does; what is then said; and the log ratio.
        """
        there = self.pairs[pair]
        codes = there.codes(aspect)
        turned = np.flatnonzero(codes != was)
        own = self.state[turned]
        first = np.ones(len(own), bool)
        first[1:] = own[1:] != own[:-1]
        at, of = turned[first], own[first]
        steps, becomes = np.full(self.states, np.inf), np.zeros(self.states, np.int8)
        d = np.zeros(self.states)
        steps[of], becomes[of] = self.rungs[at] - self.ladder.here, codes[at]
        d[of] = there.said.summed.d[there.at][at]
        return steps, becomes, d


def turns(states: States, ladder: PriceLadder, sought: Sequence[Sought] = ()) -> Turns:
    """The rungs of one setup's ladder at which order or outcome may turn, for all states of all pairs.

    Along one price every pair's difference rises or falls throughout, so that what is said can turn only
    where one of them passes 0, the margin, or what p asks for beside so many other pairs (Holm 1979). The
    rungs on both sides of each such price are asked; where something is `sought` of each pair, none but those
    at which it may be.
    """
    state, rungs = _places(_rungs(states, ladder, sought), ladder.here)
    placed: list[tuple[Said, Where]] = [
        (states.said_at(i, ladder, state, rungs), slice(None))
        if states.hangs_on(i, ladder.setup)
        else (states.said(i), state)
        for i in range(len(states.pairs))
    ]
    called = called_among(np.stack([said.far[at] for said, at in placed]))
    pairs = tuple(
        Placed(said=said, at=at, called=its) for (said, at), its in zip(placed, called, strict=True)
    )
    return Turns(ladder=ladder, states=len(states.margin), state=state, rungs=rungs, pairs=pairs)


def _rungs(states: States, ladder: PriceLadder, sought: Sequence[Sought]) -> Counts:
    """The rungs to ask, (M, K): today's neighbours, and around every price at which a pair may turn."""
    turning = {
        i: np.searchsorted(ladder.paid, states.turning(i, ladder.setup))
        for i in range(len(states.pairs))
        if states.hangs_on(i, ladder.setup)
    }
    worth = Worth(states=states, ladder=ladder, sought=sought, turning=turning)
    found = [np.tile([ladder.here - 1, ladder.here + 1], (len(states.margin), 1))] if not sought else []
    for i, at in turning.items():
        around = np.stack([at - 1, at, at + 1])
        found += list(np.where(worth.asked(i), around, ladder.here) if sought else around)
    return np.asarray(np.clip(np.concatenate(found, axis=1), 0, len(ladder.minors) - 1))


def _places(rungs: Counts, here: int) -> tuple[Counts, Counts]:
    """Each rung of each state once, the nearest first, today's left out: every place's state and rung."""
    away = rungs - here
    # Twice how far, one less for the dearer of two as near.
    far = (2 * np.abs(away) - (away > 0)).astype(np.int32)
    far.sort(axis=1)
    fresh = far > 0
    fresh[:, 1:] &= far[:, 1:] != far[:, :-1]
    state, at = np.nonzero(fresh)
    found = far[state, at].astype(np.int64)
    return state, here + np.where(found % 2 == 1, (found + 1) // 2, -found // 2)
