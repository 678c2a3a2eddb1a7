"""Which rungs of a price are worth asking where something else moves with it.

Two changes are told only where each goes less far than it needs alone. So a rung is worth asking where a pair
may turn there by both: its difference hangs on both, or it hangs on one of them, or on neither, and the
correction over all pairs (Holm 1979) may still change whether it is called.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from evenhand.stats.spread import Flags, Floats
from evenhand.verdicts.moves import Aspect
from evenhand.verdicts.price_ladder import PriceLadder
from evenhand.verdicts.price_states import Said, States
from evenhand.verdicts.standing import Counts


@dataclass(frozen=True, slots=True, kw_only=True)
class Sought:
    """What is looked for of one pair by a price that moves beside something else, in M states of the other.

    `outcome` is what is called today. `goes` says by aspect how far the other goes of what it needs alone,
    shape (M,), and `most` how far the price may, as a share of itself. `still`: the other leaves the pair's
    numbers as they are in every state.
    """

    outcome: int
    goes: Mapping[Aspect, Floats]
    most: Mapping[Aspect, float]
    still: bool = False

    def open(self, aspect: Aspect) -> Flags:
        """In which states the other goes less far than it needs alone, as (M, 1)."""
        return self.goes[aspect][:, None] < 1.0


@dataclass(frozen=True, kw_only=True)  # no slots: what is worked out once is kept beside the fields
class Worth:
    """What is sought on a ladder. `turning` has the rungs (M, K) at which pairs that hang on it may turn.

    Their columns are those of `States.turning`: no difference; what p asks for beside 1 to P pairs, and the
    margin; and the same for the other of the two.
    """

    states: States
    ladder: PriceLadder
    sought: Sequence[Sought]
    turning: Mapping[int, Counts]

    def asked(self, pair: int) -> Flags:
        """Which of the rungs at which a pair may turn are worth asking, (M, K)."""
        at, asked, family = self.turning[pair], self.sought[pair], len(self.sought)
        if asked.still:
            return self._in_company(pair, at)
        away = np.abs(at - self.ladder.here)
        found = np.asarray(asked.open(Aspect.OUTCOME) & (away <= self._most[pair][Aspect.OUTCOME]))
        found[:, 0] |= asked.open(Aspect.ORDER)[:, 0] & (away[:, 0] <= self._most[pair][Aspect.ORDER])
        called = [*range(1, 1 + family), *range(2 + family, 2 + 2 * family)]
        found[:, called] |= self._changes_others(pair, at[:, called], away[:, called])
        return found

    def _changes_others(self, pair: int, at: Counts, away: Counts) -> Flags:
        """Where it matters to another pair whether this one is called."""
        found = np.asarray(away <= self._of_state[:, None])
        for other in self.turning:
            if other != pair and self.sought[other].still:
                found |= self._in_company(other, at)
            elif other != pair:
                for low, high in self._unsure[other]:
                    found |= (at >= low) & (at <= high)
        return found

    @cached_property
    def _most(self) -> Sequence[Mapping[Aspect, int]]:
        """How many rungs the price may go at most, by pair and aspect."""
        step, many = float(self.ladder.sizes(np.ones(1))[0]), len(self.ladder.minors)
        return [
            {aspect: min(math.ceil(most / step), many) for aspect, most in its.most.items()}
            for its in self.sought
        ]

    @cached_property
    def _unsure(self) -> Mapping[int, Sequence[tuple[Counts, Counts]]]:
        """Between which rungs it hangs on the others whether a pair is called, (M, 1) each, either way."""
        family, here, found = len(self.sought), self.ladder.here, {}
        for pair, at in self.turning.items():
            most = self._most[pair][Aspect.OUTCOME]
            ends = [at[:, [first, first + family - 1]] for first in (1, 2 + family)]
            shut = np.where(self.sought[pair].open(Aspect.OUTCOME), 0, 2 * len(self.ladder.minors))
            found[pair] = [
                (
                    np.maximum(both.min(axis=1, keepdims=True) - 1, here - most) + shut,
                    np.minimum(both.max(axis=1, keepdims=True) + 1, here + most),
                )
                for both in ends
            ]
        return found

    @cached_property
    def _of_state(self) -> Counts:
        """How many rungs are asked for pairs that do not hang on this price, (M,); −1 for none."""
        found = np.full(len(self.states.margin), -1)
        for i, asked in enumerate(self.sought):
            if i not in self.turning:
                open_ = asked.open(Aspect.OUTCOME)[:, 0] & self._may_turn(i, self.states.said(i))
                found = np.maximum(found, np.where(open_, self._most[i][Aspect.OUTCOME], -1))
        return found

    def _in_company(self, pair: int, at: Counts) -> Flags:
        """Where a pair that hangs on this price alone may turn by others: on a rung, or on one next to it."""
        return np.asarray(self._by_others[pair][np.clip(at, 0, len(self.ladder.minors) - 1)])

    @cached_property
    def _by_others(self) -> Mapping[int, Flags]:
        """By rung, for each pair that hangs on this price alone."""
        return {i: self._rungs_by_others(i) for i in self.turning if self.sought[i].still}

    def _rungs_by_others(self, pair: int) -> Flags:
        most, here, many = self._most[pair][Aspect.OUTCOME], self.ladder.here, len(self.ladder.minors)
        rungs = np.arange(max(here - most, 0), min(here + most + 1, many))
        # In every state it is as in the first.
        said = self.states.said_at(pair, self.ladder, np.zeros_like(rungs), rungs)
        turning = rungs[self._may_turn(pair, said)]
        found = np.zeros(many + 2, bool)
        for beside in (0, 1, 2):
            found[turning + beside] = True
        return found[1:-1]

    def _may_turn(self, pair: int, said: Said) -> Flags:
        """Where what is called may be another than it was, as other pairs are called or not."""
        was, family = self.sought[pair].outcome, len(self.sought)
        called = (said.is_called != was) & (said.far > 0)
        return np.asarray(called | ((said.is_not != was) & (said.far < family)))
