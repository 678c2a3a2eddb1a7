"""One thing that moves by steps, after each of N changes of what counts: the nearest step that turns."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.stats.mixing import Mix
from evenhand.stats.spread import Floats
from evenhand.verdicts.before import Before
from evenhand.verdicts.counted import LaidCounted, Moves
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move, Steps
from evenhand.verdicts.named_weights import beside, movable
from evenhand.verdicts.price_ladder import ladders, rungs_of
from evenhand.verdicts.price_turns import turns
from evenhand.verdicts.reading import Readings, Sums, outcomes_at, sum_up
from evenhand.verdicts.ways import Axes, mixed_sums

# Which of the N changes it is after, and what the step then turns.
Found = Iterator[tuple[int, Flip]]


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What is read after each of N changes of what counts, by pair."""

    before: Before
    changes: tuple[LaidCounted, ...]
    sums: tuple[Sums, ...]
    readings: tuple[Readings, ...]

    @classmethod
    def of(cls, before: Before, changes: tuple[LaidCounted, ...]) -> After:
        """Every change read; there must be one at least."""
        sums = tuple(sum_up([each.pairs[i] for each in changes]) for i in range(len(before.pairs)))
        return cls(before=before, changes=changes, sums=sums, readings=before.say(sums))

    @property
    def moves(self) -> list[Moves]:
        """The moves that each change is made of."""
        return [moves for each in self.changes for moves in each.moves]

    def turned(self) -> Found:
        """What each change turns by itself."""
        moves = self.moves
        for i, then in enumerate(self.readings):
            for aspect in self.before.aspects(i):
                codes, d = then.code(aspect), then.summed.d
                for n in np.flatnonzero(codes != self.before.was(i, aspect)).tolist():
                    becomes, merit = codes[n], then.merit.at(n)
                    yield n, self.before.flip(i, aspect, moves[n], becomes=becomes, d=d[n], merit=merit)


def step_flips(after: After, steps: Steps, *, weight: float) -> Found:
    """The nearest weight (by steps of `weight`), margin and price that turn something after each change."""
    yield from weight_flips(after, weight)
    yield from margin_flips(after, steps)
    yield from value_flips(after, steps)
    if after.before.price_weighed:
        yield from price_flips(after, steps)


def weight_steps(step: float) -> Floats:
    """Shares from 0 to 1, ends left out: what has all the weight, or none, is another question."""
    return np.asarray(np.arange(1, round(1.0 / step)) * step, float)


def weight_flips(after: After, step: float) -> Found:
    """Each named weight from nothing to all, the others keeping their proportions."""
    before, shares, offset = after.before, weight_steps(step), 0
    axes, mix, named, laid = Axes.of(before.case), Mix(beside(shares)), [], []
    for change in after.changes:
        own = [
            (offset + n, weight)
            for n in range(len(change.moves))
            for weight in movable(before.case, axes, change.left, n)
        ]
        offset += len(change.moves)
        named += own
        if own:
            ends = np.concatenate([weight.ends for _, weight in own])
            laid.append([axes.lay(pair.grounds, ends) for pair in change.pairs])
    if not named:
        return
    readings = before.say([mixed_sums(states, mix) for states in zip(*laid, strict=True)])
    sizes = np.abs(shares - np.array([[weight.share] for _, weight in named]))
    sizes = np.where(sizes > step / 1e6, sizes, np.inf)
    moves = after.moves
    for i, aspect, q, at in _nearest(before, readings, sizes):
        n, weight = named[q]
        then, state = readings[i], q * len(shares) + at
        yield (
            n,
            before.flip(
                i, aspect, (*moves[n], weight.move(shares, at)), becomes=then.code(aspect)[state],
                d=then.summed.d[state], merit=then.merit.at(state),
            ),
        )  # fmt: skip


def _nearest(
    before: Before, readings: Sequence[Readings], sizes: Floats
) -> Iterator[tuple[int, Aspect, int, int]]:
    """By pair and aspect, of each of Q rows of states the smallest that turns, where one does: its place."""
    for i, then in enumerate(readings):
        for aspect in before.aspects(i):
            turned = then.code(aspect).reshape(sizes.shape) != before.was(i, aspect)
            far = np.where(turned, sizes, np.inf)
            at = far.argmin(axis=1)
            for q in np.flatnonzero(np.isfinite(far[np.arange(len(at)), at])).tolist():
                yield i, aspect, q, int(at[q])


def margin_steps(before: Before, steps: Steps) -> Floats:
    """The margins tried, upwards, without today's."""
    found = np.arange(1, round(steps.margin_most / steps.margin) + 1) * steps.margin
    return np.asarray(found[np.abs(found - before.case.study.margin) > steps.margin / 1e6])


def margin_move(was: float, margins: Floats, at: int) -> Move:
    """The margin moved to one of these."""
    after = float(margins[at])
    return Move(lever=Lever.MARGIN, name="", size=abs(after - was) / was, before=was, after=after)


def margin_flips(after: After, steps: Steps) -> Found:
    """The margin from one step up to the most, which only what is called hangs on."""
    before, moves = after.before, after.moves
    was, margins = before.case.study.margin, margin_steps(before, steps)
    for i, (sums, then) in enumerate(zip(after.sums, after.readings, strict=True)):
        codes = outcomes_at(sums.missing, then, margins)
        far = np.where(codes != before.was(i, Aspect.OUTCOME), np.abs(margins - was) / was, np.inf)
        at = far.argmin(axis=1)
        for n in np.flatnonzero(np.isfinite(far[np.arange(len(at)), at])).tolist():
            moved = (*moves[n], margin_move(was, margins, int(at[n])))
            becomes, d = codes[n, at[n]], then.summed.d[n]
            yield n, before.flip(i, Aspect.OUTCOME, moved, becomes=becomes, d=d)


def value_flips(after: After, steps: Steps) -> Found:
    """Each price of a pair, for where the money is better spent."""
    before, moves = after.before, after.moves
    prices, fixed = before.case.prices, before.case.audience.fixed_minor
    for i, sums in enumerate(after.sums):
        if Aspect.VALUE not in before.aspects(i):
            continue
        was, (a, b) = before.was(i, Aspect.VALUE), before.place(i)
        for ladder in ladders(a, b, prices=prices, fixed_minor=fixed, steps=steps):
            other = prices[b if ladder.is_a else a]
            rungs = ladder.nearest(sums.merit, other, was)
            places = np.flatnonzero(np.isfinite(rungs) & (rungs != 0))
            becomes = ladder.values(sums.merit.only(places), other, rungs[places])
            for n, code in zip(places.tolist(), becomes.tolist(), strict=True):
                moved = (*moves[n], ladder.move(float(rungs[n])))
                d = after.readings[i].summed.d[n]
                merit = sums.merit.at(n)
                yield n, before.flip(i, Aspect.VALUE, moved, becomes=code, d=d, merit=merit)


def price_flips(after: After, steps: Steps) -> Found:
    """Each price, for who is in front and what is called where the price itself is weighed."""
    before, moves, states = after.before, after.moves, after.before.states(after.sums)
    for setup, price in before.case.prices.items():
        ladder = rungs_of(setup, price, fixed_minor=states.fixed_minor, steps=steps)
        found = turns(states, ladder)
        for i, aspect in itertools.product(range(len(after.sums)), (Aspect.ORDER, Aspect.OUTCOME)):
            rungs, becomes, d = found.nearest(i, aspect, before.was(i, aspect))
            for n in np.flatnonzero(np.isfinite(rungs)).tolist():
                moved = (*moves[n], ladder.move(float(rungs[n])))
                yield n, before.flip(i, aspect, moved, becomes=becomes[n], d=d[n])
