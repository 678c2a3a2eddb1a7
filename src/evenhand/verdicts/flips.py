"""The smallest change of one thing that turns what is said of a pair."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from evenhand.findings.outcomes import from_log
from evenhand.verdicts.case import Case
from evenhand.verdicts.changes import (
    Tried,
    margin_changes,
    now,
    other_changes,
    price_changes,
    title_changes,
    weight_changes,
)
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move, Steps
from evenhand.verdicts.others import Other
from evenhand.verdicts.price_ladder import ladders
from evenhand.verdicts.reading import LaidPair, Readings, lay_pairs
from evenhand.verdicts.standing import VALUE_UNKNOWN, Codes, Summed, paid_log, value_codes


def flips(case: Case, others: Sequence[Other] = (), *, steps: Steps | None = None) -> tuple[Flip, ...]:
    """For every pair and aspect, the smallest change of every single thing that turns it; smallest first.

    Every price, weight and margin is tried at every step of `steps` and the nearest that turns the aspect is
    kept, so that nothing is assumed of how a verdict depends on it. Titles, runs and definitions are tried
    one by one. An aspect that says nothing (value without prices) is not looked at.
    """
    pairs, tried_by = lay_pairs(case), steps or Steps()
    base = now(case, pairs)
    found = [*step_flips(case, pairs, base, tried_by)]
    for tried in (*title_changes(case, pairs), *other_changes(case, pairs, others)):
        found += turned(pairs, base, tried)
    return tuple(sorted(found, key=lambda flip: flip.size))


def step_flips(
    case: Case, pairs: Sequence[LaidPair], base: Sequence[Readings], steps: Steps
) -> Iterator[Flip]:
    """The nearest price, weight and margin of this case that turn what `base` says of its pairs.

    Where the audience does not weigh the price itself, a price touches value alone and is looked up.
    """
    for tried in (*weight_changes(case, pairs, steps.weight), margin_changes(case, pairs, steps)):
        yield from turned(pairs, base, tried)
    if any(pair.price.any() for pair in pairs):
        for tried in price_changes(case, pairs, steps):
            yield from turned(pairs, base, tried)
    else:
        yield from price_flips(case, pairs, base, steps)


def price_flips(
    case: Case, pairs: Sequence[LaidPair], base: Sequence[Readings], steps: Steps
) -> Iterator[Flip]:
    """Of every pair and price the nearest price at which the money is better spent than `base` says."""
    for pair, was, here in zip(pairs, base, now(case, pairs), strict=True):
        a, b, before = pair.grounds.a, pair.grounds.b, int(was.value[0])
        if before == VALUE_UNKNOWN:
            continue
        for ladder in ladders(a, b, prices=case.prices, fixed_minor=case.audience.fixed_minor, steps=steps):
            rungs = float(ladder.nearest(here.merit, case.prices[b if ladder.is_a else a], before)[0])
            if np.isfinite(rungs) and rungs:
                move = ladder.move(rungs)
                yield Flip(
                    a=a, b=b, aspect=Aspect.VALUE, moves=(move,), was=before,
                    becomes=value_at(case, here.merit, (a, b), move), ratio=from_log(float(here.summed.d[0])),
                )  # fmt: skip


def value_at(case: Case, merit: Summed, pair: tuple[str, str], *moves: Move) -> int:
    """The code of value for a pair, with this sum, after moves of prices."""
    prices = {**case.prices, **{m.name: float(m.after or 0.0) for m in moves if m.lever is Lever.PRICE}}
    paid = paid_log(prices[pair[0]], prices[pair[1]], fixed_minor=case.audience.fixed_minor)
    return int(value_codes(merit, paid)[0])


def turned(pairs: Sequence[LaidPair], base: Sequence[Readings], tried: Tried) -> Iterator[Flip]:
    """Of every pair and aspect the smallest of these changes that turns it, if one does."""
    sizes = tried.sizes
    for pair, was, then in zip(pairs, base, tried.readings, strict=True):
        for aspect in Aspect:
            before, after = code(was, aspect), np.broadcast_to(code(then, aspect), sizes.shape)
            if aspect is Aspect.VALUE and before[0] == VALUE_UNKNOWN:
                continue
            where = np.flatnonzero(after != before[0])
            if len(where):
                at = int(where[np.argmin(sizes[where])])
                d = np.broadcast_to(then.summed.d, sizes.shape)[at]
                yield Flip(
                    a=pair.grounds.a, b=pair.grounds.b, aspect=aspect, moves=(tried.move(at),),
                    was=int(before[0]), becomes=int(after[at]), ratio=from_log(float(d)),
                )  # fmt: skip


def code(readings: Readings, aspect: Aspect) -> Codes:
    """The codes of one aspect."""
    if aspect is Aspect.ORDER:
        return readings.order
    return readings.outcome if aspect is Aspect.OUTCOME else readings.value
