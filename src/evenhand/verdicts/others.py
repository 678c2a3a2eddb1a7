"""What the pairs would stand on if one run, or one definition, counted otherwise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.errors import NotFound
from evenhand.findings.exclusions import LeftOutRun, put_back
from evenhand.findings.finding import Cell
from evenhand.records.audiences import Property
from evenhand.records.studies import Study
from evenhand.verdicts.grounds import LOW_METRIC, PairGrounds, pair_grounds
from evenhand.verdicts.moves import Lever


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """One change of what counts: a run put back (`name` is the run), or tests under another `metric`.

    `touched` are the tests whose numbers are other ones then, each with how much of it is: 1/n for one run
    among n, 1 for a definition. `cells` are those of the whole study after it.
    """

    lever: Lever
    name: str
    touched: Mapping[str, float]
    cells: tuple[Cell, ...]
    metric: str = ""
    pairs: tuple[PairGrounds, ...] = ()


def others(
    cells: Sequence[Cell],
    left_out: Sequence[LeftOutRun],
    *,
    study: Study,
    properties: frozenset[Property],
) -> tuple[Other, ...]:
    """Every left-out run put back by itself, and every test, or all of them, headed by its 1% low."""
    found = [*(_with_run(cells, run) for run in left_out), *_by_lows(cells)]
    return tuple(standing_on(each, study=study, properties=properties) for each in found)


def standing_on(other: Other, *, study: Study, properties: frozenset[Property]) -> Other:
    """The same change with the pairs laid out that it leaves."""
    return replace(other, pairs=pair_grounds(other.cells, study=study, properties=properties))


def both(first: Other, then: Other) -> tuple[Cell, ...]:
    """The cells after two changes that touch different tests."""
    place = {(c.test, c.setup, c.metric): c for c in then.cells}
    return tuple(place[c.test, c.setup, c.metric] if c.test in then.touched else c for c in first.cells)


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


def _headed(cell: Cell) -> Cell:
    """The cell as headline if it holds the lows, else beside it."""
    return replace(cell, headline=cell.metric == LOW_METRIC)
