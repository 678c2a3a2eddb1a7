"""Every single thing that can be changed about a case, and what is read after each change."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.moves import Lever, Move, Steps
from evenhand.verdicts.named_weights import named_weights
from evenhand.verdicts.others import Other
from evenhand.verdicts.reading import LaidPair, Readings, laid_pair, lay_pairs, read
from evenhand.verdicts.weights import lay_weights, named_parts, shares_of_tests


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """M changes of one kind: sizes, shape (M,), each as a move, and what is read after it, by pair."""

    sizes: Floats
    move: Callable[[int], Move]
    readings: Sequence[Readings]


def now(case: Case, pairs: Sequence[LaidPair]) -> tuple[Readings, ...]:
    """What is read of the pairs as they are."""
    return read(
        pairs, margin=math.log1p(case.study.margin), prices=case.prices, fixed_minor=case.audience.fixed_minor
    )


def price_changes(case: Case, pairs: Sequence[LaidPair], steps: Steps) -> Iterator[Tried]:
    """Each setup's price, up and down."""
    for setup, price in case.prices.items():
        minors = price_steps(price, steps)
        readings = read(
            pairs, margin=math.log1p(case.study.margin), prices={**case.prices, setup: minors},
            fixed_minor=case.audience.fixed_minor,
        )  # fmt: skip
        sizes = np.abs(minors - price) / price
        yield Tried(sizes=sizes, move=partial(price_move, setup, price, minors), readings=readings)


def price_move(setup: str, price: int, minors: Floats, at: int) -> Move:
    """A setup's price moved to one of these."""
    return Move(
        lever=Lever.PRICE, name=setup, size=abs(float(minors[at]) - price) / price,
        before=float(price), after=float(minors[at]),
    )  # fmt: skip


def price_steps(price: int, steps: Steps) -> np.ndarray:
    """The prices tried, upwards, without today's."""
    most = int(steps.price_most * price) // steps.price_minor
    ways = np.concatenate([np.arange(-most, 0), np.arange(1, most + 1)])
    return price + ways * steps.price_minor


def weight_changes(case: Case, pairs: Sequence[LaidPair], step: float) -> Iterator[Tried]:
    """Each named weight from nothing to all, the others keeping their proportions."""
    for weight in named_weights(case):
        shares = weight_steps(step)
        shares = shares[np.abs(shares - weight.share) > step / 1e6]
        readings = now(case, [weight.at(shares, pair) for pair in pairs])
        yield Tried(sizes=np.abs(shares - weight.share), move=partial(weight.move, shares), readings=readings)


def weight_steps(step: float) -> Floats:
    """Shares from 0 to 1, ends left out: what has all the weight, or none, is another question."""
    return np.asarray(np.arange(1, round(1.0 / step)) * step, float)


def title_changes(case: Case, pairs: Sequence[LaidPair]) -> Iterator[Tried]:
    """Each test left out, where something is left."""
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    for test, share in shares_of_tests(parts).items():
        left = without_title(case, test)
        laid = lay_pairs(left) if left else ()
        if left and len(laid) == len(pairs):
            yield one(Move(lever=Lever.TITLE, name=test, size=share), now(left, laid))


def without_title(case: Case, test: str) -> Case | None:
    """The case without a test, its group keeping its share while it has another; None where nothing is left.

    >>> from evenhand.records.audiences import Audience
    >>> from evenhand.records.studies import Study
    >>> from evenhand.records.tests import Direction, Measures, Test
    >>> def game(key):
    ...     return Test(key=key, name=key, group="games", measures=Measures.FRAMES, metric="average_fps",
    ...                 unit="fps", direction=Direction.HIGHER)
    >>> case = Case(audience=Audience(key="a", name="A", groups={"games": 1}), tests=(game("x"), game("y")),
    ...             study=Study(key="s", title="S", setups=(), tests=("x", "y")), pairs=())
    >>> without_title(case, "x").study.weights, without_title(without_title(case, "x"), "y")
    ({'x': 0.0}, None)
    """
    study = replace(case.study, weights={**case.study.weights, test: 0.0})
    group = next((t.group for t in case.tests if t.key == test), "")
    audience = replace(case.audience, tests={key: w for key, w in case.audience.tests.items() if key != test})
    others = [t.key for t in case.tests if t.group == group and t.key in study.tests]
    left = any(study.weights.get(key, 1.0) > 0 and key not in audience.tests for key in others)
    if group and not left:
        audience = replace(audience, groups={g: w for g, w in audience.groups.items() if g != group})
    if not sum(audience.groups.values()) + sum(audience.tests.values()) > 0:
        return None
    return replace(case, study=study, audience=audience)


def one(move: Move, readings: Sequence[Readings]) -> Tried:
    """A single change as a kind of its own."""
    return Tried(sizes=np.array([move.size]), move=lambda _: move, readings=readings)


def other_changes(case: Case, pairs: Sequence[LaidPair], others: Sequence[Other]) -> Iterator[Tried]:
    """Each run put back and each other definition."""
    shares = shares_of_tests(named_parts(case.audience, study=case.study, tests=case.tests))
    for other in others:
        laid = lay_other(case, pairs, other)
        size = sum(shares.get(test, 0.0) * part for test, part in other.touched.items())
        if laid and size > 0:
            yield one(other_move(other, size), now(case, laid))


def other_move(other: Other, size: float) -> Move:
    """A change of what counts as a move."""
    return Move(lever=other.lever, name=other.name, size=size, metric=other.metric)


def lay_other(case: Case, pairs: Sequence[LaidPair], other: Other) -> list[LaidPair] | None:
    """The pairs after it under the audience's weights; None where one of them has nothing left."""
    grounds = {(p.a, p.b): p for p in other.pairs}
    found = []
    for pair in pairs:
        there = grounds.get((pair.grounds.a, pair.grounds.b))
        if there is None:
            return None
        laid = lay_weights(case.audience, there, study=case.study, tests=case.tests)
        if not laid.weights.sum() > 0:
            return None
        found.append(laid_pair(there, [laid]))
    return found


def margin_changes(case: Case, pairs: Sequence[LaidPair], steps: Steps) -> Tried:
    """The margin from one step up to the most."""
    margins = margin_steps(case, steps)
    readings = read(
        pairs, margin=np.log1p(margins), prices=case.prices, fixed_minor=case.audience.fixed_minor
    )
    was = case.study.margin
    return Tried(
        sizes=np.abs(margins - was) / was, move=partial(margin_move, was, margins), readings=readings
    )


def margin_steps(case: Case, steps: Steps) -> Floats:
    """The margins tried, upwards, without today's."""
    found = np.arange(1, round(steps.margin_most / steps.margin) + 1) * steps.margin
    return np.asarray(found[np.abs(found - case.study.margin) > steps.margin / 1e6])


def margin_move(was: float, margins: Floats, at: int) -> Move:
    """The margin moved to one of these."""
    after = float(margins[at])
    return Move(lever=Lever.MARGIN, name="", size=abs(after - was) / was, before=was, after=after)
