"""The row of a score table that a run names, and its score."""

from __future__ import annotations

import math
from collections import Counter

from evenhand.errors import BadLog, nearest
from evenhand.folders.study_folder import RunEntry, ScoreKey
from evenhand.records.layouts import Layout, Role
from evenhand.traces.flaws import in_lines, place
from evenhand.traces.trace import ScoreRow, ScoreTable

SHOWN_CHARACTERS = 80


def score_of_row(table: ScoreTable, entry: RunEntry, layout: Layout) -> float:
    """The score in the row the run names.

    A table without a column of tests is of the run's test; where it has none of runs, the rows of a test
    are numbered from 1.

    Raises BadLog where no row answers, more than one does, or its score is no number above zero.
    """
    key, name = entry.row or ScoreKey(test="", run=""), entry.scores or ""
    named = [(_key_of(row, key, layout), row) for row in table.rows]
    if layout.first(Role.RUN) is None:
        named = _numbered(named)
    found = [row for each, row in named if each == key]
    if len(found) != 1:
        raise _no_single_row([each for each, _ in named], found, key, name=name)
    row, column = found[0], layout.first(Role.SCORE)
    if not (math.isfinite(row.score) and row.score > 0):
        raise BadLog(
            f"a score of {row.score:g} cannot be compared as a ratio",
            where=place(name, line=row.line, column=column.header if column else None),
            todo="write a number above zero into the table, or take the run out of study.toml",
        )
    return row.score


def _key_of(row: ScoreRow, wanted: ScoreKey, layout: Layout) -> ScoreKey:
    return ScoreKey(test=wanted.test if layout.first(Role.TEST) is None else row.test, run=row.run)


def _numbered(named: list[tuple[ScoreKey, ScoreRow]]) -> list[tuple[ScoreKey, ScoreRow]]:
    """Rows of each test numbered as they stand."""
    so_far: Counter[str] = Counter()
    numbered = []
    for key, row in named:
        so_far[key.test] += 1
        numbered.append((ScoreKey(test=key.test, run=str(so_far[key.test])), row))
    return numbered


def _no_single_row(known: list[ScoreKey], found: list[ScoreRow], key: ScoreKey, *, name: str) -> BadLog:
    wanted = f"test '{key.test}', run '{key.run}'"
    if found:
        return BadLog(
            f"{len(found)} rows answer to {wanted} ({in_lines(row.line for row in found)})",
            where=name,
            todo="let each row bear a name of its own",
        )
    there = list(dict.fromkeys(f"{each.test} {each.run}" for each in known))
    hint = nearest(f"{key.test} {key.run}", there)
    also = f"; {hint}" if hint.startswith("did") else ""
    listed = ", ".join(there)[:SHOWN_CHARACTERS]
    return BadLog(
        f"0 rows answer to {wanted}; the table has {listed}",
        where=name,
        todo=f"correct `row` in study.toml{also}",
    )
