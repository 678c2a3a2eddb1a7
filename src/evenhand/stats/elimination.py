"""Exact linear algebra on whole numbers: what lies in a span, and which vectors hang together.

Nothing is rounded and nothing compared with a tolerance: Python's integers hold every step.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TypeAlias

Vector: TypeAlias = tuple[int, ...]

Basis: TypeAlias = tuple[tuple[int, Vector], ...]
"""Vectors in echelon form, each with the place of its first number; 0 at the places of those before it."""


def residue(vector: Sequence[int], basis: Basis) -> Vector:
    """What is left of a vector, but for a factor, without the span of the basis; all 0 where it lies in it.

    Fraction-free elimination, each step divided by its greatest common divisor (compare Bareiss 1968).

    >>> residue((2, 2, 0), ((0, (1, 1, 0)),)), residue((0, 2, 4), ((0, (1, 1, 0)),))
    ((0, 0, 0), (0, 1, 2))
    """
    left = list(vector)
    for place, row in basis:
        if left[place]:
            mine, theirs = row[place], left[place]
            left = [mine * x - theirs * y for x, y in zip(left, row, strict=True)]
    divisor = math.gcd(*left) or 1
    return tuple(x // divisor for x in left)


def extended(basis: Basis, vectors: Iterable[Sequence[int]]) -> Basis:
    """The basis with whatever these vectors add to its span.

    >>> len(extended((), [(1, 0, 1), (0, 1, 1), (1, 1, 2)]))
    2
    """
    for vector in vectors:
        left = residue(vector, basis)
        place = next((i for i, x in enumerate(left) if x), None)
        if place is not None:
            basis = (*basis, (place, left))
    return basis


def components(vectors: Sequence[Sequence[int]]) -> tuple[tuple[int, ...], ...]:
    """Which vectors hang together by linear dependence, as groups of their places.

    The connected components of their matroid: of any basis among them, a vector outside it is tied to those
    that it is a combination of (Oxley 2011, "Matroid Theory", section 4.1). A vector of zeros stands alone,
    as does one that no other depends on.

    >>> components([(1, 0), (0, 1), (1, 0), (0, 0)])
    ((0, 2), (1,), (3,))
    """
    group = list(range(len(vectors)))
    for outside, members in _combinations(vectors):
        joined = {group[i] for i in (outside, *members)}
        group = [min(joined) if g in joined else g for g in group]
    return tuple(tuple(i for i, g in enumerate(group) if g == head) for head in sorted(set(group)))


def _combinations(vectors: Sequence[Sequence[int]]) -> list[tuple[int, tuple[int, ...]]]:
    """Each vector outside the first basis among them, with the members of that basis that it is made of."""
    rows = [list(map(Fraction, column)) for column in zip(*vectors, strict=True)]
    pivots: list[int] = []
    for place in range(len(vectors)):
        found = next((r for r in range(len(pivots), len(rows)) if rows[r][place]), None)
        if found is None:
            continue
        at = len(pivots)
        rows[at], rows[found] = rows[found], rows[at]
        _clear(rows, at, place)
        pivots.append(place)
    return [
        (place, tuple(p for r, p in enumerate(pivots) if rows[r][place]))
        for place in range(len(vectors))
        if place not in pivots
    ]


def _clear(rows: list[list[Fraction]], at: int, place: int) -> None:
    """Make the number at this place 1 in this row and 0 in all others (Gauss and Jordan)."""
    head = rows[at][place]
    rows[at] = [x / head for x in rows[at]]
    for r, row in enumerate(rows):
        if r != at and row[place]:
            factor = row[place]
            rows[r] = [x - factor * y for x, y in zip(row, rows[at], strict=True)]
