"""The fewest further rows that tell changes of a design apart, found by exact search."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from math import prod

from evenhand.stats.designs import Change, Design, Row, span_of
from evenhand.stats.elimination import Basis, Vector, extended, residue

MOST_CANDIDATES = 4096  # rows that could be made of the levels on record: beyond, none is tried
MOST_ROWS = 4  # further rows: a plan with more is better begun anew
MOST_TRIED = 20_000  # sets looked into: some seconds; beyond, the answer is not called the smallest


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What further rows may be: levels `held` whatever else changes, pairs of levels that do not go together.

    A level in a pair is named by its factor and itself.
    """

    held: Mapping[str, str] = field(default_factory=dict)
    forbidden: frozenset[frozenset[tuple[str, str]]] = frozenset()

    def allow(self, factors: Sequence[str], row: Row) -> bool:
        """Whether such a row may be made."""
        levels = set(zip(factors, row, strict=True))
        return not any(pair <= levels for pair in self.forbidden)


@dataclass(frozen=True, slots=True, kw_only=True)
class Separation:
    """The rows to add, or None where none were found; `exchanged` counts what changes against nearest rows.

    `complete` says that every smaller set was looked into; where none was found, that no set of `MOST_ROWS`
    rows does it.
    """

    rows: tuple[Row, ...] | None
    exchanged: int = 0
    complete: bool = True


def candidates(design: Design, rules: Rules) -> tuple[Row, ...]:
    """Every row that the levels on record could make and that is not on record, by how little it exchanges.

    Empty where there would be more than `MOST_CANDIDATES`.

    >>> two = Design(factors=("processor", "graphics"), rows=(("p0", "g0"), ("p1", "g1")))
    >>> candidates(two, Rules())
    (('p0', 'g1'), ('p1', 'g0'))
    """
    if _could_be(design, rules) > MOST_CANDIDATES:
        return ()
    levels = [(rules.held[f],) if f in rules.held else on for f, on in design.levels.items()]
    there = set(design.rows)
    rows = [row for row in product(*levels) if row not in there and rules.allow(design.factors, row)]
    return tuple(sorted(rows, key=lambda row: exchanges(design, row)))


def exchanges(design: Design, row: Row) -> int:
    """How many levels differ from the row on record that is most like it."""
    return min(sum(x != y for x, y in zip(row, other, strict=True)) for other in design.rows)


def separate(design: Design, wanted: Sequence[Change], rules: Rules | None = None) -> Separation:
    """The smallest set of further rows with which each wanted change is known by itself.

    By depth-first search over sets of 0, 1, … `MOST_ROWS` candidates; a set is given up where the rows it may
    still take are fewer than the dimensions that it lacks, since one row brings one at most. Among sets of
    one size the one that exchanges least of those looked into. Limit: `MOST_TRIED` sets.

    >>> two = Design(factors=("processor", "graphics"), rows=(("p0", "g0"), ("p1", "g1")))
    >>> separate(two, [Change(factor="graphics", low="g0", high="g1")]).rows
    (('p0', 'g1'),)
    """
    given = rules or Rules()
    offered = candidates(design, given)
    span = span_of(design, wanted, offered)
    search = _Search(
        wanted=[span.joint([change]) for change in wanted],
        vectors=[span.vector(row) for row in offered],
        costs=[exchanges(design, row) for row in offered],
    )
    for size in range(search.lacking(span.basis), MOST_ROWS + 1):
        found = search.best(span.basis, size)
        if found is not None:
            rows = tuple(offered[i] for i in found)
            return Separation(rows=rows, exchanged=sum(search.costs[i] for i in found))
    return Separation(
        rows=None, complete=search.tried <= MOST_TRIED and _could_be(design, given) <= MOST_CANDIDATES
    )


def _could_be(design: Design, rules: Rules) -> int:
    """How many rows the levels on record could make."""
    return prod(1 if factor in rules.held else len(on) for factor, on in design.levels.items())


@dataclass(slots=True)
class _Search:
    """One search: what is wanted, candidates as vectors with their costs, and how many sets were tried."""

    wanted: list[Vector]
    vectors: list[Vector]
    costs: list[int]
    tried: int = 0

    def lacking(self, basis: Basis) -> int:
        """How many dimensions of what is wanted lie outside the span."""
        return len(extended(basis, self.wanted)) - len(basis)

    def best(self, start: Basis, size: int) -> tuple[int, ...] | None:
        """The set of this size that exchanges least, by the places of its candidates."""
        floor, least, found = sum(sorted(self.costs)[:size]), 0, None
        for chosen in self._sets(start, size, 0):
            cost = sum(self.costs[i] for i in chosen)
            if found is None or cost < least:
                least, found = cost, chosen
            if least == floor:
                break
        return found

    def _sets(self, basis: Basis, size: int, first: int) -> Iterator[tuple[int, ...]]:
        """Every set of so many candidates, from this one on, with which nothing is lacking."""
        self.tried += 1
        if self.tried > MOST_TRIED or self.lacking(basis) > size:
            return
        if size == 0:
            yield ()
            return
        for i in range(first, len(self.vectors)):
            if any(residue(self.vectors[i], basis)):
                further = extended(basis, [self.vectors[i]])
                yield from ((i, *rest) for rest in self._sets(further, size - 1, i + 1))
