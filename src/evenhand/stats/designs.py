"""Factors and levels on record: which changes of level can be told apart, and which are one bundle.

Rows are what was measured, factors what varies between them, levels what a factor was in a row. The model is
additive in logs: a row's mean is a constant plus one number a factor for its level. A change of levels can be
estimated exactly where its contrast lies in the span of the rows (Searle 1971, "Linear Models", section 5.4).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from evenhand.stats.elimination import Basis, Vector, components, extended, residue

Row: TypeAlias = tuple[str, ...]
"""The level of every factor in something that was measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One factor from the level `low` to the level `high`."""

    factor: str
    low: str
    high: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """What was measured: factors by name, and a row of levels each."""

    factors: tuple[str, ...]
    rows: tuple[Row, ...]

    @property
    def levels(self) -> dict[str, tuple[str, ...]]:
        """The levels on record of each factor, in the order in which they first appear."""
        columns = zip(*self.rows, strict=True) if self.rows else iter([()] * len(self.factors))
        return {f: tuple(dict.fromkeys(column)) for f, column in zip(self.factors, columns, strict=True)}


def changes_between(design: Design, low: Row, high: Row) -> tuple[Change, ...]:
    """The factors that differ between two rows.

    >>> two = Design(factors=("processor", "graphics"), rows=(("p0", "g0"), ("p1", "g0")))
    >>> changes_between(two, *two.rows)
    (Change(factor='processor', low='p0', high='p1'),)
    """
    levels = zip(design.factors, low, high, strict=True)
    return tuple(Change(factor=f, low=x, high=y) for f, x, y in levels if x != y)


def is_estimable(design: Design, changes: Sequence[Change]) -> bool:
    """Whether the joint effect of these changes can be had from the rows, the factors adding up.

    >>> rows = (("p0", "b0", "g0"), ("p1", "b1", "g0"), ("p1", "b1", "g1"))
    >>> made = Design(factors=("processor", "board", "graphics"), rows=rows)
    >>> processor, board, graphics = changes_between(made, rows[0], rows[2])
    >>> [is_estimable(made, asked) for asked in ([graphics], [processor], [processor, board])]
    [True, False, True]
    """
    span = span_of(design, changes)
    return not any(residue(span.joint(changes), span.basis))


def bundles(design: Design, changes: Sequence[Change]) -> tuple[tuple[Change, ...], ...]:
    """These changes in the finest groups that the rows tell apart; a group of one is known by itself.

    Between two rows on record the joint effect of each group can be had. Where changes are asked for that lie
    between no two rows, a group may be out of reach altogether: ask `is_estimable`.

    >>> rows = (("p0", "b0", "g0"), ("p1", "b1", "g0"), ("p1", "b1", "g1"))
    >>> made = Design(factors=("processor", "board", "graphics"), rows=rows)
    >>> [[c.factor for c in group] for group in bundles(made, changes_between(made, rows[0], rows[2]))]
    [['processor', 'board'], ['graphics']]
    """
    span = span_of(design, changes)
    left = [residue(span.joint([change]), span.basis) for change in changes]
    return tuple(tuple(changes[i] for i in group) for group in components(left))


def is_direct(design: Design, change: Change) -> bool:
    """Whether two rows differ in this change and in nothing else, so that no sum of effects stands in."""
    place = design.factors.index(change.factor)
    rest = {row[:place] + row[place + 1 :] for row in design.rows if row[place] == change.low}
    return any(row[:place] + row[place + 1 :] in rest for row in design.rows if row[place] == change.high)


def joined(design: Design, group: Sequence[Change]) -> tuple[Design, Change]:
    """The design with the factors of these changes as one factor, and the change of that one.

    >>> rows = (("p0", "b0", "g0"), ("p1", "b1", "g0"))
    >>> three = Design(factors=("processor", "board", "graphics"), rows=rows)
    >>> made, change = joined(three, changes_between(three, *three.rows))
    >>> made.factors, change.factor, len(made.levels[change.factor])
    (('graphics', 'processor and board'), 'processor and board', 2)
    """
    if len(group) == 1:
        return design, group[0]
    at = [design.factors.index(change.factor) for change in group]
    rest = [i for i in range(len(design.factors)) if i not in at]
    name = " and ".join(change.factor for change in group)
    rows = tuple((*(row[i] for i in rest), as_one(row[i] for i in at)) for row in design.rows)
    low, high = as_one(change.low for change in group), as_one(change.high for change in group)
    factors = (*(design.factors[i] for i in rest), name)
    return Design(factors=factors, rows=rows), Change(factor=name, low=low, high=high)


def as_one(levels: Iterable[str]) -> str:
    """One level for several, and no other several the same one: a line each."""
    return "\n".join(levels)


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """What the rows of a design span, as 0/1 vectors: a constant, then a place for each level of a factor."""

    places: Mapping[tuple[str, str], int]
    factors: tuple[str, ...]
    basis: Basis = ()

    def vector(self, row: Row) -> Vector:
        """A row: 1 for the constant and for each of its levels."""
        there = {0, *(self.places[level] for level in zip(self.factors, row, strict=True))}
        return tuple(int(i in there) for i in range(len(self.places) + 1))

    def joint(self, changes: Sequence[Change]) -> Vector:
        """The contrast of these changes together: 1 for each new level, −1 for each old one."""
        made = [0] * (len(self.places) + 1)
        for change in changes:
            made[self.places[change.factor, change.high]] += 1
            made[self.places[change.factor, change.low]] -= 1
        return tuple(made)


def span_of(design: Design, changes: Sequence[Change] = (), further: Sequence[Row] = ()) -> Span:
    """The span of a design's rows. Levels that only `changes` or `further` rows name have a place as well."""
    rows = (*design.rows, *further)
    named = [level for row in rows for level in zip(design.factors, row, strict=True)]
    named += [(c.factor, level) for c in changes for level in (c.low, c.high)]
    places = {level: i for i, level in enumerate(dict.fromkeys(named), start=1)}
    bare = Span(places=places, factors=design.factors)
    return replace(bare, basis=extended((), map(bare.vector, design.rows)))
