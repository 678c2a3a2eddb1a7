"""Cells as they stood at a look, judged by the rules of any comparison."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from evenhand.findings.compare import Judged, judge, paired_where_it_shows
from evenhand.findings.finding import Cell
from evenhand.findings.rows import Row, rows
from evenhand.plans.looks import Looks
from evenhand.records.studies import Study

Place: TypeAlias = tuple[str, str, str]
"""A test and the two setups that are held against each other."""

Stops: TypeAlias = dict[tuple[str, str], int]
"""By test and setup, the runs after which nothing more is asked of a cell."""

Seen: TypeAlias = list[tuple[Row, Judged | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAt:
    """What is looked at: the study and its looks, how many comparisons share them, minutes by test."""

    study: Study
    looks: Looks
    comparisons: int
    minutes: Mapping[str, float]

    @property
    def margin(self) -> float:
        """The margin as a log."""
        return math.log1p(self.study.margin)

    @property
    def held_at(self) -> float:
        """The two-sided level of the interval that is held against the margin."""
        return 1.0 - 2.0 * self.looks.level


def judged_rows(cells: Sequence[Cell], study: Study) -> Seen:
    """Every row of a study that says something of speed, with its difference where it has one."""
    there = [row for row in paired_where_it_shows(rows(cells, study=study)) if not row.locked]
    judged = judge(there)
    return [(row, judged.get(i)) for i, row in enumerate(there)]


def first_runs(cells: Sequence[Cell], stops: Stops, *, most: int | None = None) -> list[Cell]:
    """The cells with no more than their first `most` runs in the bench's order, and none past their stop."""
    return [_cut(cell, stops.get((cell.test, cell.setup)), most) for cell in cells]


def _cut(cell: Cell, *bounds: int | None) -> Cell:
    known = [bound for bound in bounds if bound is not None]
    if not known or len(cell.observations) <= min(known):
        return cell
    seen = cell.observations
    if all(o.order is not None for o in seen):
        seen = tuple(sorted(seen, key=lambda o: o.order or 0))
    return replace(cell, observations=seen[: min(known)])


def runs_of(row: Row) -> int:
    """The runs of the side with fewer."""
    return min(len(row.a.observations), len(row.b.observations))


def place_of(row: Row) -> Place:
    """Test and pair of setups."""
    return row.a.test, row.a.setup, row.b.setup
