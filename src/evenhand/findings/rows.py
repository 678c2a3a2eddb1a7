"""One row a comparison: two cells of one test side by side, checked to be the same thing measured twice."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from evenhand.errors import NotComparable
from evenhand.findings.bridged_sessions import read_bridged
from evenhand.findings.crossing import cross
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.sessions import Sessions, read_sessions
from evenhand.findings.stamps import no_ratio
from evenhand.records.studies import Study

MOST_APART = 1e12  # runs of one test, greatest over least


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Setup a over setup b in one test and metric. `sessions` is None where no ratio can be had.

    `refused` says that none may be had: two tests were run, or one under conditions that nothing joins.
    `beside` are the cells of a machine that bridges the two, under the conditions of a and of b; `joined`
    says of cells measured apart how they meet.
    """

    a: Cell
    b: Cell
    sessions: Sessions | None
    refused: Caveat | None = None
    beside: tuple[Cell, Cell] | None = None
    joined: Caveat | None = None

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Both sides, and what bridges them."""
        return (self.a, self.b, *(self.beside or ()))

    @property
    def bridged_by(self) -> tuple[str, ...]:
        """The machine that bridges the two, if one does."""
        return (self.beside[0].setup,) if self.beside else ()

    @property
    def locked(self) -> bool:
        """Whether the test is held at a declared rate."""
        return self.a.locked or self.b.locked

    @property
    def numbers(self) -> bool:
        """Whether every run reads a number above 0."""
        return all(math.isfinite(value) and value > 0 for value in self.values)

    @property
    def values(self) -> tuple[float, ...]:
        """What all its runs read."""
        return tuple(o.value for cell in self.cells for o in cell.observations)

    @property
    def one_run(self) -> bool:
        """Whether a side, or what bridges the two, has a single run, so that repeats say nothing of it."""
        return min(len(cell.observations) for cell in self.cells) == 1


@dataclass(frozen=True, slots=True)
class Seen:
    """Rows that were made of the very same cells, to be had again: a change of one test leaves all others."""

    _rows: dict[tuple[int, int], Row] = field(default_factory=dict)
    _cells: list[Cell] = field(default_factory=list)  # held, so that no other cell gets their numbers

    def row(self, a: Cell, b: Cell, *, study: Study) -> Row:
        """As `row`, of one study."""
        place = (id(a), id(b))
        if place not in self._rows:
            self._rows[place] = row(a, b, study=study)
            self._cells.extend((a, b))
        return self._rows[place]


def rows(cells: Iterable[Cell], *, study: Study, seen: Seen | None = None) -> tuple[Row, ...]:
    """All pairs of the study's setups, first against later, by test and metric (headline metrics first).

    A setup without a cell gets an empty one. Cells of tests or setups outside the study are not looked at.
    Raises NotComparable where cells of one test differ in version, or those of one metric in direction,
    where two headline metrics stand in one test, or where one cell is given twice.
    """
    by_place, made = _by_place(cells, study), seen or Seen()
    check_alike(list(by_place.values()))
    topics = _topics(by_place, study)
    pairs = [(a, b) for i, a in enumerate(study.setups) for b in study.setups[i + 1 :]]
    return tuple(
        made.row(_cell(by_place, (*topic, a), like), _cell(by_place, (*topic, b), like), study=study)
        for a, b in pairs
        for topic, like in topics.items()
    )


def row(a: Cell, b: Cell, *, study: Study) -> Row:
    """Two cells side by side, read for replicates where both hold nothing but numbers above 0.

    Cells measured apart meet over what bridges them (`crossing.cross`). Numbers further apart than
    `MOST_APART` are not read: no two machines differ by so much.
    """
    return _row(a, b, study.boot_allowance)


@lru_cache(maxsize=4096)  # a change of one test leaves the other rows as they were, and hundreds are tried
def _row(a: Cell, b: Cell, boot_allowance: float) -> Row:
    bare = _bare(a, b)
    there = bare.a.observations and bare.b.observations and bare.numbers
    if bare.refused or not there or max(bare.values) / MOST_APART > min(bare.values):
        return bare
    return replace(bare, sessions=_sessions(bare.a, bare.b, bare.beside, boot_allowance))


def _bare(a: Cell, b: Cell) -> Row:
    """The two with what bridges them, or with the reason why they may not meet."""
    crossed = cross(a, b)
    refused = no_ratio(a, b, bridged=crossed is not None)
    if crossed is None or refused:
        return Row(a=a, b=b, sessions=None, refused=refused)
    beside = (crossed.beside_a, crossed.beside_b) if crossed.beside_a and crossed.beside_b else None
    return Row(a=crossed.a, b=crossed.b, sessions=None, beside=beside, joined=crossed.caveat)


@lru_cache(maxsize=4096)  # rows that differ in what waits or was left out share them
def _sessions(a: Cell, b: Cell, beside: tuple[Cell, Cell] | None, boot_allowance: float) -> Sessions:
    if beside:
        return read_bridged(a, b, beside=beside, boot_allowance=boot_allowance)
    return read_sessions(a, b, boot_allowance=boot_allowance)


def check_alike(cells: Sequence[Cell]) -> None:
    """Raise NotComparable where cells that share a test or a metric are not measured alike."""
    firsts: dict[tuple[str, ...], Cell] = {}
    for cell in cells:
        _same(firsts.setdefault((cell.test,), cell), cell, ("version", "group", "locked"))
        _same(firsts.setdefault((cell.test, cell.metric), cell), cell, ("better", "headline"))
        if cell.headline:
            _same(firsts.setdefault((cell.test, "", "headline"), cell), cell, ("metric",))


_WORDS = {
    "version": "versions of the test",
    "group": "groups",
    "locked": "declared rates",
    "better": "directions",
    "headline": "parts in the comparison",
    "metric": "definitions of the headline number",
}


def _same(first: Cell, cell: Cell, names: Sequence[str]) -> None:
    for name in names:
        one, other = getattr(first, name), getattr(cell, name)
        if one != other:
            raise NotComparable(
                f"two {_WORDS[name]}: '{one}' for {first.setup}, '{other}' for {cell.setup}",
                where=f"test {cell.test}, {cell.metric}",
                todo="measure both alike, or compare them in separate tests",
            )


def _by_place(cells: Iterable[Cell], study: Study) -> dict[tuple[str, str, str], Cell]:
    found: dict[tuple[str, str, str], Cell] = {}
    for cell in cells:
        if cell.test not in study.tests or cell.setup not in study.setups:
            continue
        place = (cell.test, cell.metric, cell.setup)
        if place in found:
            raise NotComparable(
                f"two cells for {cell.metric} of {cell.setup}",
                where=f"test {cell.test}",
                todo="join their runs into one",
            )
        found[place] = cell
    return found


def _topics(by_place: dict[tuple[str, str, str], Cell], study: Study) -> dict[tuple[str, str], Cell]:
    """Test and metric with a cell that shows what they are, in the study's order, headline first."""
    found: dict[tuple[str, str], Cell] = {}
    for cell in by_place.values():
        found.setdefault((cell.test, cell.metric), cell)
    place = {test: i for i, test in enumerate(study.tests)}
    ordered = sorted(found.items(), key=lambda item: (place[item[1].test], not item[1].headline))
    return dict(ordered)


def _cell(by_place: dict[tuple[str, str, str], Cell], place: tuple[str, str, str], like: Cell) -> Cell:
    if place in by_place:
        return by_place[place]
    return Cell(
        test=like.test, setup=place[2], metric=like.metric, better=like.better, observations=(),
        group=like.group, headline=like.headline, version=like.version, locked=like.locked,
    )  # fmt: skip
