"""All that a choice of parts must keep to, as sums over the candidates with what each may come to.

Of a part and all those of one other kind that do not fit it one at most is chosen, ``x_i + Σ x_j ≤ 1``:
closer than a row for each pair.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from evenhand.money.shelves import Chosen, Shelf, Terms
from evenhand.stats.spread import Floats

EQUAL = 1e-9  # of what is used: less than that is no difference
SLACK = 1e-7  # of a score that is known to be had


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


def bounds_of(shelf: Shelf, terms: Terms, but: Sequence[Chosen]) -> Bounds:
    """All that a choice must keep to. Prices are whole, so half a minor unit more lets nothing in."""
    found, numbered = Bounds(), list(enumerate(shelf.candidates))
    for kind in shelf.kinds:
        found.exactly(shelf.of_kind[kind], 1.0)
    found.at_most({i: float(each.minor) for i, each in numbered}, terms.budget_minor + 0.5)
    if terms.least_score is not None:
        found.at_most({i: -each.score for i, each in numbered}, SLACK - terms.least_score)
    for name, limit in terms.limits.items():
        found.at_most({i: each.uses.get(name, 0.0) for i, each in numbered}, limit + EQUAL)
    for i, wrong in _misfits_of(shelf):
        found.at_most(dict.fromkeys((i, *wrong), 1.0), 1.0)
    place = {each.key: i for i, each in numbered}
    for each in but:
        found.at_most({place[key]: 1.0 for key in each.parts}, len(each.parts) - 1.0)
    return found


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
