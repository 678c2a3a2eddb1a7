"""The best parts for a budget: one of each kind, that go together, within what there is of everything.

A whole-number programme (`scipy.optimize.milp`): the sum of the parts' scores is to be as high as it can be,
where the price, what the parts use (watts, slots) and their fit are bounds (`money.bounds`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from evenhand.money.bounds import Bounds, bounds_of
from evenhand.money.shelves import Candidate, Chosen, Shelf, Terms
from evenhand.stats.spread import Floats

OUT_OF_TIME = 1  # how `milp` says that it has ended so
THRIFT = 0.001  # of a score, for the whole budget: of choices as good as each other the cheaper is chosen


class NoTime(Exception):
    """The time ran out before any choice was found: there may be one or none."""


def best(shelf: Shelf, terms: Terms, *, but: Sequence[Chosen] = ()) -> Chosen | None:
    """The choice whose score, less `THRIFT` for the share of the budget that it takes, is highest.

    Other than those in `but`; None where there is none. Where the time runs out, the best one found till then
    and its gap; raises NoTime where none was found till then.
    """
    if not all(shelf.of_kind[kind] for kind in shelf.kinds):
        return None
    if not but:  # else the second best of a kind is looked for as well
        shelf = without_worse(shelf)
    found = _solved(
        np.array([-worth(each, terms) for each in shelf.candidates]), bounds_of(shelf, terms, but), terms
    )
    if found.x is None and found.status == OUT_OF_TIME:
        raise NoTime
    return None if found.x is None else _chosen(shelf, found)


def worth(each: Candidate | Chosen, terms: Terms) -> float:
    """What a part, or a whole choice, counts for: its score less what it takes of the budget."""
    return each.score - THRIFT * each.minor / max(1, terms.budget_minor)


def _solved(cost: Floats, bounds: Bounds, terms: Terms) -> Any:
    from scipy.optimize import Bounds as Between
    from scipy.optimize import LinearConstraint, milp

    return milp(
        c=cost,
        constraints=LinearConstraint(*bounds.matrix(len(cost))),
        bounds=Between(0, 1),
        integrality=np.ones(len(cost), dtype=np.int8),
        options={"time_limit": terms.time_limit_s, "mip_rel_gap": 0.0},
    )


def _chosen(shelf: Shelf, found: Any) -> Chosen:
    own = [each for each, x in zip(shelf.candidates, found.x, strict=True) if x > 0.5]
    own.sort(key=lambda each: shelf.kinds.index(each.kind))
    gap = float(found.mip_gap or 0.0) if found.status == OUT_OF_TIME else 0.0
    return Chosen(
        parts=tuple(each.key for each in own),
        minor=sum(each.minor for each in own),
        score=float(sum(each.score for each in own)),
        gap=gap,
    )


def without_worse(shelf: Shelf) -> Shelf:
    """The same without candidates that another one of their kind is as good as in everything."""
    against: dict[str, set[str]] = {each.key: set() for each in shelf.candidates}
    for pair in shelf.barred:
        if len(pair) == 2 and pair <= against.keys():
            one, other = pair
            against[one].add(other)
            against[other].add(one)
    kept: list[Candidate] = []
    for kind in shelf.kinds:
        own: list[Candidate] = []
        for each in sorted(
            (shelf.candidates[i] for i in shelf.of_kind[kind]), key=lambda c: (c.minor, -c.score)
        ):
            if not any(_is_as_good(better, each, against) for better in own):
                own.append(each)
        kept.extend(own)
    return replace(shelf, candidates=tuple(kept))


def _is_as_good(one: Candidate, other: Candidate, against: Mapping[str, set[str]]) -> bool:
    """Whether one may stand for the other wherever that is chosen, at no higher price."""
    used = one.uses.keys() | other.uses.keys()
    return (
        one.minor <= other.minor
        and one.score >= other.score
        and all(one.uses.get(name, 0.0) <= other.uses.get(name, 0.0) for name in used)
        and against[one.key] <= against[other.key]
    )
