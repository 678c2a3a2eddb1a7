"""Score tables: in the order written, each row with its line."""

from __future__ import annotations

import math

import pytest

from evenhand.errors import BadLog, BadRecord
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces import flaws
from evenhand.traces.scores import read_scores
from evenhand.traces.trace import ScoreRow

LAYOUT = Layout(
    fingerprint="",
    kind=LogKind.SCORES,
    columns=(
        Column(header="test", role=Role.TEST),
        Column(header="run", role=Role.RUN),
        Column(header="jobs per hour", role=Role.SCORE),
    ),
)
HEAD = "run;test;jobs per hour\n"


def test_rows_come_in_the_order_written_with_their_lines() -> None:
    text = "# by hand\n" + HEAD + '1;Night render;3,10\n1;"Photo; batch";14\n\n2;Night render;3,12\n'
    table = read_scores(text.encode("cp1252"), LAYOUT, name="scores.csv")
    assert table.rows == (
        ScoreRow(test="Night render", run="1", score=3.10, line=3),
        ScoreRow(test="Photo; batch", run="1", score=14.0, line=4),
        ScoreRow(test="Night render", run="2", score=3.12, line=6),
    )
    assert table.flaws == ()


def test_a_score_that_cannot_be_read_is_nan_and_listed() -> None:
    table = read_scores((HEAD + "1;Night render;3,1\n2;Night render;stopped\n").encode(), LAYOUT, name="s")
    assert math.isnan(table.rows[1].score)
    assert [(f.kind, f.line) for f in table.flaws] == [(flaws.UNREADABLE_FIELD, 3)]


def test_one_run_written_twice_is_listed() -> None:
    table = read_scores((HEAD + "1;Night render;3,1\n1;Night render;3,1\n").encode(), LAYOUT, name="s")
    assert [(f.kind, f.line) for f in table.flaws] == [(flaws.DUPLICATED_ROW, 3)]


def test_test_and_run_may_be_missing_from_the_layout() -> None:
    layout = Layout(fingerprint="", kind=LogKind.SCORES, columns=LAYOUT.columns[2:])
    rows = read_scores((HEAD + "1;Night render;3,1\n").encode(), layout, name="s").rows
    assert rows == (ScoreRow(test="", run="", score=3.1, line=2),)


def test_scores_in_json_lines() -> None:
    text = '{"test": "Night render", "run": 1, "jobs per hour": 3.1}\n'
    table = read_scores(text.encode(), LAYOUT, name="s")
    assert table.rows == (ScoreRow(test="Night render", run="1", score=3.1, line=1),)


def test_a_table_without_a_score_is_refused() -> None:
    with pytest.raises(BadLog, match="no score can be read") as caught:
        read_scores((HEAD + "1;Night render;-\n2;Night render;-\n").encode(), LAYOUT, name="scores.csv")
    assert caught.value.where == "scores.csv, line 2, column 'jobs per hour'"


def test_a_layout_without_a_score_is_a_bad_record() -> None:
    with pytest.raises(BadRecord):
        read_scores(b"a\n1\n", Layout(fingerprint="", kind=LogKind.SCORES, columns=()), name="s")
