"""A table of scores into a ScoreTable."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenhand.errors import BadLog, BadRecord
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces.flaws import DUPLICATED_ROW, place
from evenhand.traces.limits import DEFAULT_LIMITS, Limits
from evenhand.traces.probe import probe
from evenhand.traces.reading import Named, read_columns
from evenhand.traces.trace import ScoreRow, ScoreTable


def read_scores(data: bytes, layout: Layout, *, name: str, limits: Limits = DEFAULT_LIMITS) -> ScoreTable:
    r"""Scores in the order written, in the unit written: what a score means is the test's to say.

    A score that cannot be read is NaN and listed. Test and run are "" where the layout names no column.

    Raises BadLog where no score can be read; BadRecord where the layout names no score.

    >>> columns = (Column(header="test", role=Role.TEST), Column(header="score", role=Role.SCORE))
    >>> layout = Layout(fingerprint="", kind=LogKind.SCORES, columns=columns)
    >>> read_scores(b"test;score\nNight render;3,10\n", layout, name="a.csv").rows[0]
    ScoreRow(test='Night render', run='', score=3.1, line=2)
    """
    score, test, run = (layout.first(r) for r in (Role.SCORE, Role.TEST, Role.RUN))
    if layout.kind is not LogKind.SCORES or score is None:
        raise BadRecord("the layout names no score", where=name, todo="say which column holds the score")
    seen = probe(data, name=name, limits=limits)
    read = read_columns(data, [score], [c for c in (test, run) if c is not None], seen=seen, limits=limits)
    values = read.numbers(score)
    if not np.isfinite(values).any():
        raise BadLog(
            f"no score can be read in {read.table.n:,} rows",
            where=place(name, line=read.table.places.line(0), column=score.header),
            todo="check which column holds the score",
        )
    return _table(read, values.tolist(), _texts(read, test), _texts(read, run))


def _texts(read: Named, column: Column | None) -> Sequence[str]:
    return [""] * read.table.n if column is None else read.texts(column)


def _table(read: Named, scores: Sequence[float], tests: Sequence[str], runs: Sequence[str]) -> ScoreTable:
    lines = read.table.places.lines(np.arange(read.table.n, dtype=np.intp))
    rows = tuple(
        ScoreRow(test=test, run=run, score=score, line=line)
        for test, run, score, line in zip(tests, runs, scores, lines, strict=True)
    )
    seen: set[tuple[str, str, float]] = set()
    for row in rows:
        key = (row.test, row.run, row.score)
        if row.run and key in seen:
            read.table.notes.note(DUPLICATED_ROW, row.line)
        seen.add(key)
    return ScoreTable(rows=rows, flaws=read.table.notes.flaws())
