"""Every run that was left out, and what the study would say with it: so that nobody need take it on trust."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.errors import NotFound
from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Cell, Comparison, Exclusion, Finding, Index, Observation
from evenhand.records.studies import Study


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOutRun:
    """A run that does not count, with the number it would have brought to its cell.

    `says` are stamps of it that its cell does not say, by plain name; `fixes` those of them that make a test.
    """

    test: str
    setup: str
    metric: str
    observation: Observation
    says: tuple[tuple[str, tuple[str, ...]], ...] = ()
    fixes: tuple[str, ...] = ()


def exclusions(
    cells: Sequence[Cell],
    left_out: Sequence[LeftOutRun],
    *,
    study: Study,
    minutes: Mapping[str, float] | None = None,
) -> tuple[Exclusion, ...]:
    """The study without and with each left-out run, one at a time, and as the only run of its cell.

    The with-view runs the whole comparison again, since one run changes the learned spread and Holm's
    family. Raises NotFound where no cell of its test and metric is given, NotComparable as `compare_study`.
    """
    if not left_out:
        return ()
    without = compare_study(cells, study=study, minutes=minutes)
    return tuple(_exclusion(cells, run, without, study=study, minutes=minutes) for run in left_out)


def _exclusion(
    cells: Sequence[Cell], run: LeftOutRun, without: Comparison, *, study: Study,
    minutes: Mapping[str, float] | None,
) -> Exclusion:  # fmt: skip
    home = _home(cells, run)
    others = [c for c in cells if c is not home]
    joined = replace(put_back(home, run), set_aside=max(home.set_aside - 1, 0))
    with_it = compare_study([*others, joined], study=study, minutes=minutes)
    alone = put_back(replace(home, observations=()), run)
    only = compare_study([*others, alone], study=study, minutes=minutes)
    return Exclusion(
        run=run.observation.run, test=run.test, setup=run.setup, value=run.observation.value,
        findings_without=_findings(without, run), findings_with=_findings(with_it, run),
        indexes_without=_indexes(without, run), indexes_with=_indexes(with_it, run),
        indexes_only=_indexes(only, run), metric=run.metric,
    )  # fmt: skip


def put_back(home: Cell, run: LeftOutRun) -> Cell:
    """The cell with this run in it, and with what the run says otherwise than the others."""
    said = dict(home.says)
    for name, values in run.says:
        said[name] = (*(said.get(name, ()) if home.observations else ()), *values)
    return replace(
        home, observations=(*home.observations, run.observation), says=tuple(sorted(said.items())),
        fixes=tuple(dict.fromkeys((*home.fixes, *run.fixes))),
    )  # fmt: skip


def _home(cells: Sequence[Cell], run: LeftOutRun) -> Cell:
    """The run's cell, or an empty one like its siblings on another setup."""
    alike = [c for c in cells if c.test == run.test and c.metric == run.metric]
    if not alike:
        raise NotFound(
            f"no cell of test {run.test} holds {run.metric}",
            where=f"left-out run {run.observation.run}",
            todo="give the cells of all tests, empty ones too",
        )
    own = [c for c in alike if c.setup == run.setup]
    return own[0] if own else replace(alike[0], setup=run.setup, observations=(), waiting=0, set_aside=0)


def _findings(comparison: Comparison, run: LeftOutRun) -> tuple[Finding, ...]:
    return tuple(
        f
        for f in comparison.findings
        if (f.test, f.metric) == (run.test, run.metric) and run.setup in (f.a, f.b)
    )


def _indexes(comparison: Comparison, run: LeftOutRun) -> tuple[Index, ...]:
    """The indexes of the run's setup over its test; none where the metric is not the headline."""
    headline = any(f.headline for f in _findings(comparison, run))
    own = (i for i in comparison.indexes if run.test in i.tests and run.setup in (i.a, i.b))
    return tuple(own) if headline else ()
