"""Changes of what counts: titles left out, runs put back, other definitions; and every two of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from evenhand.stats.spread import Flags
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import PairGrounds
from evenhand.verdicts.moves import Lever, Move
from evenhand.verdicts.named_weights import named_weights, shares_by
from evenhand.verdicts.others import Other, Twice
from evenhand.verdicts.parts_left import Left, left_without
from evenhand.verdicts.reading import LaidPair
from evenhand.verdicts.ways import Axes
from evenhand.verdicts.weights import named_parts, shares_of_tests

Moves = tuple[Move, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """N changes, each of one or two moves, that stand on the same pairs; titles are `gone`, shape (N, T)."""

    pairs: tuple[PairGrounds, ...]
    moves: tuple[Moves, ...]
    gone: Flags


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidCounted:
    """Those after which every pair still has something that the audience weighs, laid upon each pair."""

    moves: tuple[Moves, ...]
    left: Left
    pairs: tuple[LaidPair, ...]


def singly(case: Case, others: Sequence[Other]) -> Iterator[Counted]:
    """Every title that has a weight, and every other change of a test that has one."""
    titles = [((move,), (move.name,)) for move in _titles(case)]
    yield _counted(case, case.pairs, titles)
    for other, move in _touching(case, others):
        yield _counted(case, other.pairs, [((move,), ())])


def doubly(case: Case, others: Sequence[Other], two_others: Sequence[Twice]) -> Iterator[Counted]:
    """Two titles; a title and another change of another test; two other changes."""
    titles = _titles(case)
    two = [((one, then), (one.name, then.name)) for one, then in combinations(titles, 2)]
    yield _counted(case, case.pairs, two)
    moves = {(other.lever, other.name): move for other, move in _touching(case, others)}
    for other in others:
        move = moves.get((other.lever, other.name))
        beside = [title for title in titles if title.name not in other.touched]
        if move:
            yield _counted(case, other.pairs, [((title, move), (title.name,)) for title in beside])
    for one, then, pairs in two_others:
        both = tuple(moves[o.lever, o.name] for o in (one, then) if (o.lever, o.name) in moves)
        if len(both) == 2:
            yield _counted(case, pairs, [(both, ())])


def levers(case: Case, pair: tuple[str, str], others: Sequence[Other]) -> frozenset[Lever]:
    """What there is to move on a pair: a margin always, prices where both have one, all else where it is."""
    found = {Lever.MARGIN, *(move.lever for _, move in _touching(case, others))}
    if pair not in case.states and all(setup in case.prices for setup in pair):
        found.add(Lever.PRICE)
    if len([move for move in _titles(case) if move.size > 0]) > 1:
        found.add(Lever.TITLE)
    if any(True for _ in named_weights(case)):
        found.add(Lever.WEIGHT)
    return frozenset(found)


def _titles(case: Case) -> list[Move]:
    shares = shares_of_tests(named_parts(case.audience, study=case.study, tests=case.tests))
    return [Move(lever=Lever.TITLE, name=test, size=share) for test, share in shares.items()]


def _touching(case: Case, others: Sequence[Other]) -> Iterator[tuple[Other, Move]]:
    """The other changes of what has a weight, sized by what they touch of it."""
    shares = shares_of_tests(named_parts(case.audience, study=case.study, tests=case.tests))
    for other in others:
        size = sum(shares.get(test, 0.0) * part for test, part in other.touched.items())
        if size > 0:
            yield other, Move(lever=other.lever, name=other.name, size=size, metric=other.metric)


def _counted(
    case: Case, pairs: tuple[PairGrounds, ...], changes: Sequence[tuple[Moves, tuple[str, ...]]]
) -> Counted:
    """Changes with the titles that go."""
    tests = Axes.of(case).tests
    gone = np.array([[test in titles for test in tests] for _, titles in changes], bool)
    return Counted(
        pairs=pairs, moves=tuple(moves for moves, _ in changes), gone=gone.reshape(len(changes), len(tests))
    )


def lay_counted(case: Case, pairs: Sequence[LaidPair], changes: Iterable[Counted]) -> tuple[LaidCounted, ...]:
    """The changes laid upon these pairs; left out are those that leave a pair nothing, or bring one in."""
    axes, before = Axes.of(case), [(p.grounds.a, p.grounds.b) for p in pairs]
    parts, asked = named_parts(case.audience, study=case.study, tests=case.tests), list(changes)
    if not asked:
        return ()
    every = left_without(parts, axes.tests, np.concatenate([each.gone for each in asked]))
    ways, left_any = axes.ways(every.tests, shares_by(case, axes)), np.asarray(every.shares.any(axis=1))
    found, first = [], 0
    for counted in asked:
        rows = slice(first, first := first + len(counted.moves))
        laid = {(g.a, g.b): axes.lay(g, ways[rows]) for g in counted.pairs}
        usable = left_any[rows] & (set(before) <= set(laid))
        for place, pair in laid.items():
            usable &= (pair.weights.sum(axis=1) > 0) == (place in before)
        keep = np.flatnonzero(usable).tolist()
        if keep:
            found.append(
                LaidCounted(
                    moves=tuple(counted.moves[n] for n in keep),
                    left=every.only([rows.start + n for n in keep]),
                    pairs=tuple(
                        laid[place].only(keep) if len(keep) < len(usable) else laid[place] for place in before
                    ),
                )
            )
    return tuple(found)
