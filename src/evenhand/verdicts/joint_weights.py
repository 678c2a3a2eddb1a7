"""Two named weights moved together, all others keeping their proportions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from evenhand.stats.mixing import Mix
from evenhand.stats.spread import Floats
from evenhand.verdicts.before import Before
from evenhand.verdicts.joint_steps import STILL, Together, least
from evenhand.verdicts.moves import Flip
from evenhand.verdicts.named_weights import NamedWeight, beside, named_weights, others_of, shares_by
from evenhand.verdicts.parts_left import Left, left_without
from evenhand.verdicts.steps_after import weight_steps
from evenhand.verdicts.ways import Axes, mixed_sums
from evenhand.verdicts.weights import named_parts


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Two weights at every pair of shares, (S,) each: ways of weighing (K, D), mixed by `mix`, (S, K)."""

    first: Floats
    then: Floats
    ends: Floats
    mix: Mix


def weight_with_weight(of: Together) -> Iterator[Flip]:
    """Every two named weights, for all that may turn."""
    shares = weight_steps(of.steps.weight_of_two)
    for one, other in combinations(named_weights(of.before.case), 2):
        grid = _grid(of.before, one, other, shares)
        if grid is not None:
            yield from _least_of(of, one, other, grid)


def _least_of(of: Together, one: NamedWeight, other: NamedWeight, grid: Grid) -> Iterator[Flip]:
    before = of.before
    sums = [mixed_sums([one.axes.lay(pair.grounds, grid.ends)], grid.mix) for pair in before.pairs]
    for i, there in enumerate(before.say(sums)):
        for aspect in before.aspects(i):
            first = of.of_weight(i, aspect, one, grid.first)
            then = of.of_weight(i, aspect, other, grid.then)
            turned = there.code(aspect) != before.was(i, aspect)
            found = least(first, then, usable=turned & (np.minimum(first, then) > STILL))
            if found is not None:
                at, share = found
                moves = (one.move(grid.first, at), other.move(grid.then, at))
                becomes, d = there.code(aspect)[at], there.summed.d[at]
                merit = there.merit.at(at)
                yield before.flip(i, aspect, moves, becomes=becomes, d=d, share=share, merit=merit)


def _grid(before: Before, one: NamedWeight, other: NamedWeight, shares: Floats) -> Grid | None:
    """Two parts, or two properties, leave the rest to the others; a part and a property go each its way."""
    first, then = (side.ravel() for side in np.meshgrid(shares, shares, indexing="ij"))
    properties, left = shares_by(before.case, one.axes), _parts(before)
    if one.part is not None and other.asked is not None:
        over = left.over[0]
        rest = others_of(left.shares[0], one.part) @ over
        tests = np.stack([over[one.part], rest])
        asked = np.stack([np.eye(len(properties))[other.asked], others_of(properties, other.asked)])
        ends = np.concatenate([one.axes.ways(tests, each) for each in asked])
        each = beside(then)[:, :, None] * beside(first)[:, None, :]
        return Grid(first=first, then=then, ends=ends, mix=Mix(each.reshape(len(first), 4)))
    some = first + then < 1.0 - 1e-9  # what has all the weight is another question
    first, then = first[some], then[some]
    rest = _rest(one, other, left, properties)
    if rest is None:
        return None
    ends = np.stack([one.ends[0], other.ends[0], rest])
    mix = Mix(np.stack([first, then, 1.0 - first - then], axis=1))
    return Grid(first=first, then=then, ends=ends, mix=mix)


def _rest(one: NamedWeight, other: NamedWeight, left: Left, properties: Floats) -> Floats | None:
    """The way without either of two parts or two properties; None where nothing else has a weight."""
    if one.part is not None and other.part is not None:
        shares = others_of(left.shares[0], one.part, other.part)
        return one.axes.ways(shares @ left.over[0], properties)[0] if shares.any() else None
    if one.asked is None or other.asked is None:
        return None
    asked = others_of(properties, one.asked, other.asked)
    return one.axes.ways(left.tests[0], asked)[0] if asked.any() else None


def _parts(before: Before) -> Left:
    case, axes = before.case, Axes.of(before.case)
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    return left_without(parts, axes.tests, np.zeros((1, len(axes.tests)), bool))
