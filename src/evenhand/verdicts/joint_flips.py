"""Two changes at once that turn what is said of a pair, where one of them would not, or not so small."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from evenhand.errors import BadRecord
from evenhand.findings.outcomes import from_log
from evenhand.records.audiences import Property
from evenhand.records.studies import Study
from evenhand.verdicts.case import Case
from evenhand.verdicts.changes import now, other_move, without_title
from evenhand.verdicts.flips import code, step_flips
from evenhand.verdicts.joint_steps import (
    Together,
    flip_key,
    price_with_price,
    weight_with_margin,
    weight_with_price,
)
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move, Steps
from evenhand.verdicts.others import Other, both, standing_on
from evenhand.verdicts.reading import LaidPair, Readings, lay_pairs, stacked
from evenhand.verdicts.standing import VALUE_UNKNOWN
from evenhand.verdicts.weights import named_parts, shares_of_tests


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A case in which something else counts: titles left out, runs put back, other definitions.

    `names` are the titles and the others that made it, `pairs` those of before as they lie now.
    """

    case: Case
    moves: tuple[Move, ...]
    names: frozenset[tuple[Lever, str]]
    pairs: tuple[LaidPair, ...] = ()


def joint_flips(
    case: Case,
    others: Sequence[Other],
    alone: Sequence[Flip],
    *,
    two_others: Sequence[tuple[Other, Other, Other]] = (),
    steps: Steps | None = None,
) -> tuple[Flip, ...]:
    """The two changes together that turn an aspect of a pair, for every two things; smallest share first.

    Two that move by steps go the same `share` of what each would need alone (or of all it can), the least
    that turns it. Beside a title, run or definition that turns nothing by itself, one that moves by steps
    needs a smaller share than alone. Two titles, runs or definitions are told where neither turns it.
    `two_others` are pairs of `others` that touch different tests, with what stands after both (`pairs_of`).

    Not looked at: two weights together, and prices that the audience weighs themselves.
    """
    pairs = lay_pairs(case)
    of = Together(
        case=case, pairs=pairs, base=now(case, pairs), need={flip_key(f): f.size for f in alone},
        steps=steps or Steps(),
    )  # fmt: skip
    singles = list(_laid(of, _singly(case, others)))
    twice = list(_laid(of, _twice(case, others, two_others)))
    found = [
        *weight_with_price(of),
        *price_with_price(of),
        *weight_with_margin(of),
        *_with_steps(of, singles),
        *_by_counting(of, twice),
    ]
    return tuple(sorted(found, key=lambda flip: (flip.share, flip.size)))


def pairs_of(
    others: Sequence[Other], *, study: Study, properties: frozenset[Property]
) -> tuple[tuple[Other, Other, Other], ...]:
    """Every two of these changes that touch different tests, and what stands after both."""
    return tuple(
        (
            first,
            then,
            standing_on(replace(first, cells=both(first, then)), study=study, properties=properties),
        )
        for first, then in combinations(others, 2)
        if not set(first.touched) & set(then.touched)
    )


def _singly(case: Case, others: Sequence[Other]) -> Iterator[Counted]:
    shares = shares_of_tests(named_parts(case.audience, study=case.study, tests=case.tests))
    for test, share in shares.items():
        gone = without_title(case, test)
        if gone is not None:
            move = Move(lever=Lever.TITLE, name=test, size=share)
            yield Counted(case=gone, moves=(move,), names=frozenset({(Lever.TITLE, test)}))
    for other in others:
        move = other_move(other, _touches(other, shares))
        if move.size > 0:
            names = frozenset({(other.lever, other.name)})
            yield Counted(case=replace(case, pairs=other.pairs), moves=(move,), names=names)


def _touches(other: Other, shares: dict[str, float]) -> float:
    return sum(shares.get(test, 0.0) * part for test, part in other.touched.items())


def _twice(
    case: Case, others: Sequence[Other], two_others: Sequence[tuple[Other, Other, Other]]
) -> Iterator[Counted]:
    """Two titles; a title and another change of another test; two other changes."""
    shares = shares_of_tests(named_parts(case.audience, study=case.study, tests=case.tests))
    singles = list(_singly(case, others))
    touched = {(other.lever, other.name): set(other.touched) for other in others}
    for first, then in combinations(singles, 2):  # titles come first
        title, (name,) = first.moves[0], then.names
        if title.lever is not Lever.TITLE or title.name in touched.get(name, set()):
            continue
        gone = without_title(then.case, title.name)
        if gone is not None:
            yield Counted(case=gone, moves=(*first.moves, *then.moves), names=first.names | then.names)
    for one, other, after in two_others:
        moves = tuple(other_move(each, _touches(each, shares)) for each in (one, other))
        if all(move.size > 0 for move in moves):
            names = frozenset({(one.lever, one.name), (other.lever, other.name)})
            yield Counted(case=replace(case, pairs=after.pairs), moves=moves, names=names)


def _laid(of: Together, changes: Iterable[Counted]) -> Iterator[Counted]:
    """The changes after which every pair of before still has something that the audience weighs."""
    before = [(p.grounds.a, p.grounds.b) for p in of.pairs]
    for counted in changes:
        try:
            pairs = lay_pairs(counted.case)
        except BadRecord:  # a group has no test left to carry its share
            continue
        if [(p.grounds.a, p.grounds.b) for p in pairs] == before:
            yield replace(counted, pairs=pairs)


def _with_steps(of: Together, changes: Sequence[Counted]) -> Iterator[Flip]:
    """One that moves by steps after a change of what counts, where that change turns nothing."""
    turned = {(f.moves, f.a, f.b, f.aspect) for f in _by_counting(of, changes)}
    steps = replace(of.steps, weight=of.steps.weight_of_two)
    by_name = {(p.grounds.a, p.grounds.b): p for p in of.pairs}
    for counted in changes:
        for flip in step_flips(counted.case, counted.pairs, of.base, steps):
            move = flip.moves[0]
            needed = of.alone(by_name[flip.a, flip.b], flip.aspect, move.lever, move.name)
            if (counted.moves, flip.a, flip.b, flip.aspect) not in turned and flip.size < needed:
                yield replace(flip, moves=(*counted.moves, move), share=flip.size / needed)


def _by_counting(of: Together, changes: Sequence[Counted]) -> Iterator[Flip]:
    """What changes of what counts turn that none of their parts turns alone; those of one ground at once."""
    by_ground: dict[int, list[Counted]] = {}
    for counted in changes:
        by_ground.setdefault(id(counted.case.pairs), []).append(counted)
    for members in by_ground.values():
        laid = [stacked([m.pairs[i] for m in members]) for i in range(len(of.pairs))]
        for pair, then in zip(of.pairs, now(members[0].case, laid), strict=True):
            for aspect in Aspect:
                yield from _turned(of, pair, aspect, members, then)


def _turned(
    of: Together, pair: LaidPair, aspect: Aspect, members: Sequence[Counted], then: Readings
) -> Iterator[Flip]:
    was = int(code(of.says(pair), aspect)[0])
    if aspect is Aspect.VALUE and was == VALUE_UNKNOWN:
        return
    place = (pair.grounds.a, pair.grounds.b, aspect)
    codes = code(then, aspect)
    for at in np.flatnonzero(codes != was).tolist():
        counted = members[at]
        if len(counted.moves) < 2 or not any((*place, *name) in of.need for name in counted.names):
            yield Flip(
                a=place[0], b=place[1], aspect=aspect, moves=counted.moves, was=was, becomes=int(codes[at]),
                ratio=from_log(float(then.summed.d[at])),
            )  # fmt: skip
