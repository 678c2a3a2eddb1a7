"""What a verdict on a pair stands on: every number of it as a column, whatever weights come."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.findings.columns import Used, lay_out
from evenhand.findings.compare import Judged, judge, paired_where_it_shows
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.rows import Row, rows
from evenhand.findings.stamps import other_conditions
from evenhand.records.audiences import Property
from evenhand.records.studies import Study
from evenhand.stats.weighing import Columns

LOW_METRIC = "low_1pct"
WALL_METRIC = "wall_w"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """One column: a property of a test, or of the machines as a whole (`test` is "" for noise).

    `one_run` says that a side has a single run; `allowance` is the log error that the record cannot exclude.
    """

    property: Property
    test: str = ""
    one_run: bool = False
    allowance: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PairGrounds:
    """Setup a over setup b as columns, `grounds` naming them; `columns` is None where no spread is known.

    `plain_d` are the columns' log differences, shape (C,), which stand without a spread too. `unlike` says
    by test why no ratio may be had of it, or under which other conditions one side was measured.
    """

    a: str
    b: str
    grounds: tuple[Ground, ...]
    columns: Columns | None
    plain_d: tuple[float, ...]
    unlike: tuple[tuple[str, Caveat], ...] = ()


def pair_grounds(
    cells: Sequence[Cell], *, study: Study, properties: frozenset[Property]
) -> tuple[PairGrounds, ...]:
    """Every pair of the study's setups over the properties asked for, first setup of a pair as a.

    Rows and their spread are those of `compare_study`, so that a verdict on the study's own weights says what
    its index says. Held rates bring no column. Raises NotComparable as `rows`.
    """
    wanted = [c for c in cells if property_of(c) in properties]
    all_rows = paired_where_it_shows(rows(wanted, study=study))
    judged = judge(all_rows)
    by_pair: dict[tuple[str, str], list[tuple[Row, Judged]]] = defaultdict(list)
    unlike: dict[tuple[str, str], list[tuple[str, Caveat]]] = defaultdict(list)
    for i, row in enumerate(all_rows):
        place = (row.a.setup, row.b.setup)
        own = by_pair[place]
        if i in judged:
            own.append((row, judged[i]))
        said = (row.refused,) if row.refused else other_conditions(row.a, row.b)
        unlike[place] += [(row.a.test, caveat) for caveat in said]
    return tuple(
        replace(_pair(a, b, members), unlike=tuple(dict.fromkeys(unlike[a, b])))
        for (a, b), members in by_pair.items()
    )


def _pair(a: str, b: str, members: Sequence[tuple[Row, Judged]]) -> PairGrounds:
    used = [
        Used(test=row.a.test, weight=1.0, sessions=row.sessions, difference=j.difference, one_run=row.one_run)
        for row, j in members
        if row.sessions
    ]
    grounds = tuple(
        Ground(
            property=property_of(row.a) or Property.SPEED, test=row.a.test, one_run=row.one_run,
            allowance=row.sessions.allowance if row.sessions else 0.0,
        )
        for row, _ in members
    )  # fmt: skip
    plain = tuple(j.difference.d for _, j in members)
    return PairGrounds(a=a, b=b, grounds=grounds, columns=lay_out(used), plain_d=plain)


def property_of(cell: Cell) -> Property | None:
    """Which property a cell's numbers are of: a test's headline is its speed."""
    if cell.headline:
        return Property.SPEED
    return _OF_METRIC.get(cell.metric)


_OF_METRIC: Mapping[str, Property] = {LOW_METRIC: Property.LOWS, WALL_METRIC: Property.POWER}
