"""What the pairs would stand on if one run, or one definition, counted otherwise."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from typing import TypeAlias

from evenhand.errors import NotFound
from evenhand.findings.exclusions import LeftOutRun, put_back
from evenhand.findings.finding import Cell
from evenhand.findings.rows import Row, Seen
from evenhand.records.audiences import Property
from evenhand.records.studies import Study
from evenhand.verdicts.grounds import Laid, PairGrounds, grounds_of, rows_under
from evenhand.verdicts.moves import Lever
from evenhand.verdicts.weighed_metrics import LOW_METRIC


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """One change of what counts: a run put back (`name` is the run), or tests under another `metric`.

    `touched` are the tests whose numbers are other ones then, each with how much of it is: 1/n for one run
    among n, 1 for a definition. `cells` are those of the whole study after it, `rows` and `pairs` the same
    laid out.
    """

    lever: Lever
    name: str
    touched: Mapping[str, float]
    cells: tuple[Cell, ...]
    metric: str = ""
    rows: tuple[Row, ...] = ()
    pairs: tuple[PairGrounds, ...] = ()


Twice: TypeAlias = tuple[Other, Other, tuple[PairGrounds, ...]]
"""Two changes, and the pairs after both."""


def others(
    cells: Sequence[Cell],
    left_out: Sequence[LeftOutRun],
    *,
    study: Study,
    properties: frozenset[Property],
) -> tuple[Other, ...]:
    """Every left-out run put back by itself, and every test, or all of them, headed by its 1% low."""
    found = [*(_with_run(cells, run) for run in left_out), *_by_lows(cells)]
    laid = Laid()
    seen = Seen()
    now = rows_under(cells, study=study, properties=properties, seen=seen)
    made = []
    for each in found:
        touched = [cell for cell in each.cells if cell.test in each.touched]
        then = rows_under(touched, study=study, properties=properties, seen=seen)
        own = _after(now, then, each.touched, study)
        made.append(replace(each, rows=own, pairs=grounds_of(own, laid)))
    return tuple(made)


def standing_on(other: Other, *, study: Study, properties: frozenset[Property]) -> Other:
    """The same change with the pairs laid out that it leaves."""
    own = rows_under(other.cells, study=study, properties=properties)
    return replace(other, rows=own, pairs=grounds_of(own))


def pairs_of(found: Sequence[Other], *, study: Study) -> tuple[Twice, ...]:
    """Every two of these changes that touch different tests, and the pairs that stand after both."""
    laid = Laid()
    for each in found:
        grounds_of(each.rows, laid)
    return tuple(
        (first, then, grounds_of(_after(first.rows, then.rows, then.touched, study), laid))
        for first, then in combinations(found, 2)
        if not set(first.touched) & set(then.touched)
    )


def _after(now: Sequence[Row], then: Sequence[Row], touched: Container[str], study: Study) -> tuple[Row, ...]:
    """The rows after a change: those of a test that it touches as `then` has them, all others as `now`."""
    left = [row for row in now if row.a.test not in touched]
    changed = [row for row in then if row.a.test in touched]
    setup, test = ({key: i for i, key in enumerate(keys)} for keys in (study.setups, study.tests))
    return tuple(
        sorted((*left, *changed), key=lambda row: (setup[row.a.setup], setup[row.b.setup], test[row.a.test]))
    )


def _with_run(cells: Sequence[Cell], run: LeftOutRun) -> Other:
    place = (run.test, run.setup, run.metric)
    home = next((c for c in cells if (c.test, c.setup, c.metric) == place), None)
    if home is None:
        raise NotFound(
            f"no cell of {run.test} on {run.setup} holds {run.metric}",
            where=f"left-out run {run.observation.run}", todo="give the cells of all tests, empty ones too",
        )  # fmt: skip
    joined = put_back(home, run)
    return Other(
        lever=Lever.RUN, name=run.observation.run, touched={run.test: 1.0 / len(joined.observations)},
        cells=tuple(joined if c is home else c for c in cells),
    )  # fmt: skip


def _by_lows(cells: Sequence[Cell]) -> Iterator[Other]:
    """Each test that has lows headed by them, and all of these at once."""
    with_lows = list(dict.fromkeys(c.test for c in cells if c.metric == LOW_METRIC and not c.headline))
    sets = [[test] for test in with_lows]
    if len(with_lows) > 1:
        sets.append(with_lows)
    for tests in sets:
        yield Other(
            lever=Lever.METRIC, name=tests[0] if len(tests) == 1 else "", metric=LOW_METRIC,
            touched=dict.fromkeys(tests, 1.0),
            cells=tuple(_headed(c) if c.test in tests else c for c in cells),
        )  # fmt: skip


@lru_cache(maxsize=4096)  # the same cells stand in many of them, and again after a change elsewhere
def _headed(cell: Cell) -> Cell:
    """The cell as headline if it holds the lows, else beside it."""
    return replace(cell, headline=cell.metric == LOW_METRIC)
