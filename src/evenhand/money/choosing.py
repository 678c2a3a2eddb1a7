"""The best parts for a budget: one of each kind, that go together, within what there is of everything.

A whole-number programme (`scipy.optimize.milp`): the sum of the parts' scores is to be as high as it can be,
where the price, what the parts use (watts, slots) and their fit are bounds. Of a part and all those of one
other kind that do not fit it one at most is chosen, ``x_i + Σ x_j ≤ 1``: closer than a row for each pair.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, TypeAlias

import numpy as np

from evenhand.stats.spread import Floats

Misfits: TypeAlias = frozenset[frozenset[str]]
EQUAL = 1e-9  # of what is used: less than that is no difference
OUT_OF_TIME = 1  # how `milp` says that it has ended so
THRIFT = 0.001  # of a score, for the whole budget: of choices as good as each other the cheaper is chosen


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A part that may be chosen: its price in minor units, its score, and what it uses of what.

    Scores add up: logs of how good a part is at its role, times the weight of the role. A part that brings of
    something (a supply its watts) uses less than nothing of it.
    """

    key: str
    kind: str
    minor: int
    score: float = 0.0
    uses: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Shelf:
    """What can be chosen from: one part of each of the `kinds`.

    `misfits` are pairs that do not go together, by rule; `unsure` those of which nobody knows, which are not
    chosen either.
    """

    candidates: tuple[Candidate, ...]
    kinds: tuple[str, ...]
    misfits: Mapping[str, Misfits] = field(default_factory=dict)
    unsure: Misfits = frozenset()

    @cached_property
    def barred(self) -> Misfits:
        """Every pair that is not chosen together."""
        return self.unsure.union(*self.misfits.values())

    @cached_property
    def of_kind(self) -> Mapping[str, tuple[int, ...]]:
        """The places of the candidates of each kind."""
        return {
            kind: tuple(i for i, each in enumerate(self.candidates) if each.kind == kind)
            for kind in self.kinds
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """One choice: its parts in the order of the kinds, its price and score.

    `gap` is how much better, as a share of the score, another one might still be: 0 where none is.
    """

    parts: tuple[str, ...]
    minor: int
    score: float
    gap: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What a choice must keep to: a budget in minor units, and `limits` on what is used together."""

    budget_minor: int
    limits: Mapping[str, float] = field(default_factory=dict)
    time_limit_s: float = 5.0


def best(shelf: Shelf, terms: Terms, *, but: Sequence[Chosen] = ()) -> Chosen | None:
    """The choice whose score, less `THRIFT` for the share of the budget that it takes, is highest.

    Other than those in `but`; None where there is none. Where the time runs out, the best one found till then
    and its gap.
    """
    if not all(shelf.of_kind[kind] for kind in shelf.kinds):
        return None
    if not but:  # else the second best of a kind is looked for as well
        shelf = without_worse(shelf)
    found = _solved(
        np.array([-worth(each, terms) for each in shelf.candidates]), _bounds(shelf, terms, but), terms
    )
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


class Bounds:
    """Sums over the candidates, each with what it may come to."""

    def __init__(self) -> None:
        self._cells: list[tuple[int, int, float]] = []
        self._lower: list[float] = []
        self._upper: list[float] = []

    def exactly(self, columns: Sequence[int], amount: float) -> None:
        """So many of these candidates."""
        self._add(dict.fromkeys(columns, 1.0), amount, amount)

    def at_most(self, sum_of: Mapping[int, float], amount: float) -> None:
        """No more than so much of this sum."""
        self._add(sum_of, -np.inf, amount)

    def _add(self, sum_of: Mapping[int, float], lower: float, upper: float) -> None:
        self._cells.extend((len(self._upper), column, value) for column, value in sum_of.items())
        self._lower.append(lower)
        self._upper.append(upper)

    def matrix(self, candidates: int) -> tuple[Any, Floats, Floats]:
        """The sums as rows, and what each lies between."""
        from scipy.sparse import csr_array

        rows, columns, values = zip(*self._cells, strict=True)
        shape = (len(self._upper), candidates)
        return csr_array((values, (rows, columns)), shape=shape), np.array(self._lower), np.array(self._upper)


def _bounds(shelf: Shelf, terms: Terms, but: Sequence[Chosen]) -> Bounds:
    """All that a choice must keep to. Prices are whole, so half a minor unit more lets nothing in."""
    found, numbered = Bounds(), list(enumerate(shelf.candidates))
    for kind in shelf.kinds:
        found.exactly(shelf.of_kind[kind], 1.0)
    found.at_most({i: float(each.minor) for i, each in numbered}, terms.budget_minor + 0.5)
    for name, limit in terms.limits.items():
        found.at_most({i: each.uses.get(name, 0.0) for i, each in numbered}, limit + EQUAL)
    for i, wrong in _misfits_of(shelf):
        found.at_most(dict.fromkeys((i, *wrong), 1.0), 1.0)
    place = {each.key: i for i, each in numbered}
    for each in but:
        found.at_most({place[key]: 1.0 for key in each.parts}, len(each.parts) - 1.0)
    return found


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


def _misfits_of(shelf: Shelf) -> Iterator[tuple[int, set[int]]]:
    """Each candidate with those of one other kind that do not fit it, every pair once."""
    place = {each.key: i for i, each in enumerate(shelf.candidates)}
    against: dict[tuple[int, str], set[int]] = {}
    for pair in shelf.barred:
        if len(pair) == 2 and pair <= place.keys():
            other, one = sorted((place[key] for key in pair), key=lambda i: _kind_at(shelf, i))
            against.setdefault((one, shelf.candidates[other].kind), set()).add(other)
    for (one, _), wrong in against.items():
        yield one, wrong


def _kind_at(shelf: Shelf, i: int) -> int:
    return shelf.kinds.index(shelf.candidates[i].kind)


def near(shelf: Shelf, terms: Terms, *, within: float, most: int = 8) -> tuple[Chosen, ...]:
    """The best choice, and others that count for no more than `within` less: ties, the best first."""
    found: list[Chosen] = []
    while len(found) < most:
        another = best(shelf, terms, but=found)
        if another is None or (found and worth(another, terms) < worth(found[0], terms) - within):
            break
        found.append(another)
    return tuple(found)


def frontier(shelf: Shelf, terms: Terms, budgets: Sequence[int]) -> tuple[tuple[int, Chosen | None], ...]:
    """The best choice under each budget, the least budget first."""
    return tuple((budget, best(shelf, replace(terms, budget_minor=budget))) for budget in sorted(budgets))


def worth_of_more(
    shelf: Shelf, terms: Terms, *, steps: Mapping[str, float], budget_step: int
) -> dict[str, float]:
    """What the score would gain by so much more of each limit, "" being the budget; 0 where it gains nothing.

    Empty where there is no choice to begin with.
    """
    now = best(shelf, terms)
    if now is None:
        return {}
    more = {
        "": replace(terms, budget_minor=terms.budget_minor + budget_step),
        **{
            name: replace(terms, limits={**terms.limits, name: terms.limits[name] + by})
            for name, by in steps.items()
        },
    }
    gained = {name: best(shelf, each) for name, each in more.items()}
    return {name: max(0.0, each.score - now.score) if each else 0.0 for name, each in gained.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Blame:
    """Why there is no choice: the kinds that nothing is of, and each bound without which there would be one.

    `least_minor` is what the cheapest choice costs, where there is one at any price. `rules` are those whose
    misfits, `limits` those whose bound, bar every choice by themselves; `unsure` says that facts which nobody
    knows do.
    """

    empty: tuple[str, ...] = ()
    least_minor: int | None = None
    rules: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    unsure: bool = False


def blame(shelf: Shelf, terms: Terms) -> Blame:
    """What bars every choice, each bound taken away by itself. Nothing where there is a choice."""
    empty = tuple(kind for kind in shelf.kinds if not shelf.of_kind[kind])
    if empty:
        return Blame(empty=empty)
    if best(shelf, terms) is not None:
        return Blame()
    free = sum(each.minor for each in shelf.candidates)
    plain = tuple(replace(each, score=-float(each.minor)) for each in shelf.candidates)
    cheapest = best(replace(shelf, candidates=plain), replace(terms, budget_minor=free))
    without = {
        rule: replace(shelf, misfits={k: v for k, v in shelf.misfits.items() if k != rule})
        for rule in shelf.misfits
    }
    looser = {
        name: replace(terms, limits={k: v for k, v in terms.limits.items() if k != name})
        for name in terms.limits
    }
    return Blame(
        least_minor=None if cheapest is None else cheapest.minor,
        rules=tuple(rule for rule, each in without.items() if best(each, terms) is not None),
        limits=tuple(name for name, each in looser.items() if best(shelf, each) is not None),
        unsure=best(replace(shelf, unsure=frozenset()), terms) is not None,
    )
