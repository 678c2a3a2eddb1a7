"""What a verdict on a pair stands on: every number of it as a column, whatever weights come."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from evenhand.findings.caveats import doubts_in
from evenhand.findings.columns import Used, lay_boots, lay_out
from evenhand.findings.compare import judge, paired_where_it_shows
from evenhand.findings.drifting import unsteady_in
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.rows import Row, Seen, rows
from evenhand.findings.stamps import other_conditions
from evenhand.records.audiences import Property
from evenhand.records.studies import Study
from evenhand.stats.spread import Floats
from evenhand.stats.weighing import Columns
from evenhand.verdicts.weighed_metrics import LOW_METRIC, WALL_METRIC


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """One column: a property of a test, or of the machines as a whole (`test` is "" for noise).

    `one_run` says that a side has a single run; `allowance` is the log error that the record cannot exclude,
    `drift` the part of it that an anchor's drift may make.
    """

    property: Property
    test: str = ""
    one_run: bool = False
    allowance: float = 0.0
    drift: float = 0.0


@dataclass(frozen=True, kw_only=True)  # no slots: what is worked out once is kept beside the fields
class PairGrounds:
    """Setup a over setup b as columns, `grounds` naming them; `columns` is None where no spread is known.

    `plain_d` are the columns' log differences, shape (C,), which stand without a spread too. `unlike` says
    by test why no ratio may be had of it, what joins sides that were measured apart and whether that stayed
    as it was, or under which other conditions one side was measured. `bridged` names by test the machine that
    joins them.
    """

    a: str
    b: str
    grounds: tuple[Ground, ...]
    columns: Columns | None
    plain_d: tuple[float, ...]
    unlike: tuple[tuple[str, Caveat], ...] = ()
    bridged: tuple[tuple[str, str], ...] = ()

    @cached_property
    def allowances(self) -> Floats:
        """What each column allows, shape (C,)."""
        return np.array([each.allowance for each in self.grounds])

    @cached_property
    def single(self) -> Floats:
        """1 for each column with one run on a side, else 0, shape (C,)."""
        return np.array([float(each.one_run) for each in self.grounds])

    @cached_property
    def places(self) -> tuple[tuple[Property, str], ...]:
        """Property and test of each column."""
        return tuple((each.property, each.test) for each in self.grounds)


def pair_grounds(
    cells: Sequence[Cell], *, study: Study, properties: frozenset[Property]
) -> tuple[PairGrounds, ...]:
    """Every pair of the study's setups over the properties asked for, first setup of a pair as a.

    Rows and their spread are those of `compare_study`, so that a verdict on the study's own weights says what
    its index says. Held rates bring no column. Raises NotComparable as `rows`.
    """
    return grounds_of(rows_under(cells, study=study, properties=properties))


def rows_under(
    cells: Sequence[Cell], *, study: Study, properties: frozenset[Property], seen: Seen | None = None
) -> tuple[Row, ...]:
    """The rows that a verdict over these properties stands on. Raises NotComparable as `rows`."""
    return rows([c for c in cells if property_of(c) in properties], study=study, seen=seen)


@dataclass(frozen=True, slots=True)
class Laid:
    """What was laid out already, by the rows that it is of, which live as long: pairs, and single rows."""

    pairs: dict[tuple[int, ...], PairGrounds] = field(default_factory=dict)
    rows: dict[int, tuple[Ground, tuple[Caveat, ...]]] = field(default_factory=dict)


def grounds_of(all_rows: Sequence[Row], laid: Laid | None = None) -> tuple[PairGrounds, ...]:
    """The pairs that these rows are of, in their order, each with its rows as columns.

    What was `laid` out of the very same rows is taken from there, and what is new is put there.
    """
    by_pair: dict[tuple[str, str], list[Row]] = defaultdict(list)
    for row in all_rows:
        by_pair[row.a.setup, row.b.setup].append(row)
    known = laid or Laid()
    found = []
    for pair, members in by_pair.items():
        of = tuple(map(id, members))
        if of not in known.pairs:
            known.pairs[of] = _pair_of(*pair, members, known)
        found.append(known.pairs[of])
    return tuple(found)


def _pair_of(a: str, b: str, members: Sequence[Row], known: Laid) -> PairGrounds:
    """One pair's rows as columns.

    Where all share their boots, these say how they err. Else each has an error, which those with one run
    borrow, as `compare_study` has it.
    """
    used = [row for row in members if row.sessions and not row.locked]
    columns = lay_boots([row.sessions for row in used if row.sessions])
    plain = () if columns is None else tuple(columns.d.tolist())
    if columns is None and used:
        columns, plain = _each_its_own(members)
    for row in members:
        if id(row) not in known.rows:
            known.rows[id(row)] = _ground_of(row), tuple(_unlike(row))
    grounds = tuple(known.rows[id(row)][0] for row in used)
    said = dict.fromkeys((row.a.test, caveat) for row in members for caveat in known.rows[id(row)][1])
    bridged = dict.fromkeys((row.a.test, machine) for row in used for machine in row.bridged_by)
    return PairGrounds(
        a=a, b=b, grounds=grounds, columns=columns, plain_d=plain, unlike=tuple(said), bridged=tuple(bridged)
    )


def _ground_of(row: Row) -> Ground:
    return Ground(
        property=property_of(row.a) or Property.SPEED, test=row.a.test, one_run=row.one_run,
        allowance=row.sessions.allowance if row.sessions else 0.0,
        drift=row.sessions.drift if row.sessions else 0.0,
    )  # fmt: skip


def _unlike(row: Row) -> list[Caveat]:
    """Why the row has no ratio, else what joins its sides, and what was otherwise on one of them."""
    if row.refused:
        return [row.refused]
    others = other_conditions(row.a, row.b, bridged=row.joined is not None)
    unsteady = unsteady_in(row.sessions.caveats) if row.sessions else []
    return [*([row.joined] if row.joined else []), *others, *doubts_in(row), *unsteady]


def _each_its_own(members: Sequence[Row]) -> tuple[Columns | None, tuple[float, ...]]:
    """Columns that share no boots, with the error of each, and their log differences."""
    judged = judge(paired_where_it_shows(members))
    used = [
        Used(
            test=j.row.a.test, weight=1.0, sessions=j.row.sessions, difference=j.difference,
            one_run=j.row.one_run,
        )
        for _, j in sorted(judged.items())
        if j.row.sessions
    ]  # fmt: skip
    return lay_out(used), tuple(u.difference.d for u in used)


def property_of(cell: Cell) -> Property | None:
    """Which property a cell's numbers are of: a test's headline is its speed."""
    if cell.headline:
        return Property.SPEED
    return _OF_METRIC.get(cell.metric)


_OF_METRIC: Mapping[str, Property] = {LOW_METRIC: Property.LOWS, WALL_METRIC: Property.POWER}
