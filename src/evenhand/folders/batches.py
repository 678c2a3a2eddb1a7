"""Runs one by one, and runs in batches that share what is alike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from evenhand.folders import checks, from_tables
from evenhand.folders.checks import Known
from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.study_file import RunTable
from evenhand.folders.study_folder import RunEntry, default_label
from evenhand.folders.wording import checked

_Raw = Mapping[str, Any]
_Placed = tuple[Path, RunTable]


def read_runs(
    singles: Sequence[_Raw], batches: Sequence[_Raw], known: Known, problems: list[Problem]
) -> tuple[RunEntry, ...]:
    """All runs: first those of [[runs]], then those of each batch, in the order written."""
    tables = [*_singles(singles, problems), *_batched(batches, problems)]
    runs = list(_entries(tables, problems))
    problems.extend(problem for path, run in runs for problem in checks.check_run(run, path, known))
    problems.extend(checks.check_sources(runs))
    return tuple(run for _, run in runs)


def _singles(raws: Sequence[_Raw], problems: list[Problem]) -> Iterator[_Placed]:
    for at, raw in enumerate(raws):
        table = checked(RunTable, raw, ("runs", at), problems)
        if table is not None:
            yield ("runs", at), table


def _batched(raws: Sequence[_Raw], problems: list[Problem]) -> Iterator[_Placed]:
    for at, raw in enumerate(raws):
        shared = checked(RunTable, {k: v for k, v in raw.items() if k != "runs"}, ("batches", at), problems)
        lines = raw.get("runs")
        if not isinstance(lines, list) or not lines:
            todo = "add runs = [ {...}, {...} ], or write its keys as one of [[runs]]"
            problems.append(Problem(path=("batches", at), found="the batch has no list of runs", todo=todo))
            continue
        for place, line in enumerate(lines):
            path: Path = ("batches", at, "runs", place)
            own = checked(RunTable, line, path, problems)
            if own is not None and shared is not None:
                yield path, joined(shared, own)


def joined(shared: RunTable, own: RunTable) -> RunTable:
    """A run of a batch: what it says itself, and what the batch says where it is silent.

    Stamps are joined stamp by stamp; every other key is taken whole.

    >>> both = joined(RunTable(test="a", stamps={"os": "9"}), RunTable(order=2, stamps={"driver": "31.4"}))
    >>> both.test, both.order, dict(both.stamps)
    ('a', 2, {'os': '9', 'driver': '31.4'})
    """
    said = {key: getattr(own, key) for key in own.model_fields_set}
    return shared.model_copy(update={**said, "stamps": {**shared.stamps, **own.stamps}})


def _entries(tables: Sequence[_Placed], problems: list[Problem]) -> Iterator[tuple[Path, RunEntry]]:
    """Runs that name both test and setup; each is labelled by its number in its cell."""
    numbers: Counter[tuple[str, str]] = Counter()
    for path, table in tables:
        if table.test is None or table.setup is None:
            problems.extend(_missing(path, table))
            continue
        numbers[table.test, table.setup] += 1
        label = table.label or default_label(table.test, table.setup, numbers[table.test, table.setup])
        yield path, from_tables.run_of(table, test=table.test, setup=table.setup, label=label)


def _missing(path: Path, table: RunTable) -> Iterator[Problem]:
    for key, value in (("test", table.test), ("setup", table.setup)):
        if value is None:
            yield Problem(path=path, found=f"the key '{key}' is missing", todo=f"add {key} = ...")
