"""Two changes at once that turn what is said of a pair, where one of them would not, or not so small."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from evenhand.verdicts.before import Before
from evenhand.verdicts.case import Case
from evenhand.verdicts.counted import Counted, doubly, lay_counted, singly
from evenhand.verdicts.joint_prices import price_with_steps
from evenhand.verdicts.joint_steps import (
    Together,
    flip_key,
    price_with_value,
    weight_with_margin,
    weight_with_value,
)
from evenhand.verdicts.joint_weights import weight_with_weight
from evenhand.verdicts.moves import Flip, Steps
from evenhand.verdicts.others import Other, Twice
from evenhand.verdicts.steps_after import After, step_flips


def joint_flips(
    case: Case,
    others: Sequence[Other],
    alone: Sequence[Flip],
    *,
    two_others: Sequence[Twice] = (),
    steps: Steps | None = None,
) -> tuple[Flip, ...]:
    """The two changes together that turn an aspect of a pair, for every two things; smallest share first.

    Two that move by steps go the same `share` of what each would need alone (or of all it can), the least
    that turns it. Beside a title, run or definition that turns nothing by itself, one that moves by steps
    needs a smaller share than alone. Two titles, runs or definitions are told where neither turns it.
    `two_others` are two of `others` that touch different tests, and the pairs after both (`pairs_of`).
    """
    before = Before.of(case)
    if not before.pairs:
        return ()
    of = Together(before=before, need={flip_key(f): f.size for f in alone}, steps=steps or Steps())
    found = [
        *weight_with_value(of),
        *price_with_value(of),
        *weight_with_margin(of),
        *weight_with_weight(of),
        *price_with_steps(of),
        *_with_steps(of, list(singly(case, others))),
        *_by_counting(of, list(doubly(case, others, two_others))),
    ]
    return tuple(sorted(found, key=lambda flip: (flip.share, flip.size)))


def _with_steps(of: Together, changes: Sequence[Counted]) -> Iterator[Flip]:
    """One that moves by steps after a change of what counts, where that change turns nothing."""
    laid = lay_counted(of.before.case, of.before.pairs, changes)
    if not laid:
        return
    after = After.of(of.before, laid)
    turned = {(n, flip.a, flip.b, flip.aspect) for n, flip in after.turned()}
    pair = {of.before.place(i): i for i in range(len(of.before.pairs))}
    for n, flip in step_flips(after, of.steps, weight=of.steps.weight_of_two):
        move = flip.moves[-1]
        needed = of.alone(pair[flip.a, flip.b], flip.aspect, move.lever, move.name)
        if (n, flip.a, flip.b, flip.aspect) not in turned and move.size < needed:
            yield replace(flip, share=move.size / needed)


def _by_counting(of: Together, changes: Sequence[Counted]) -> Iterator[Flip]:
    """What two changes of what counts turn that neither of them turns alone."""
    laid = lay_counted(of.before.case, of.before.pairs, changes)
    for _, flip in After.of(of.before, laid).turned() if laid else ():
        if not any((flip.a, flip.b, flip.aspect, m.lever, m.name) in of.need for m in flip.moves):
            yield flip
