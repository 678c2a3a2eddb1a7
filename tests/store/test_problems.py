"""What is damaged inside a row is told in words: what was found, where, and what to do next."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tests.store.small_study import NOW, Landing, land, some_log, unguarded

from evenhand.errors import StoreProblem
from evenhand.store.faults import faults_of, faults_of_run
from evenhand.store.headers import standing
from evenhand.store.metrics import metrics_of, metrics_of_run
from evenhand.store.problems import tells_of_damage
from evenhand.store.results import freeze, results_of
from evenhand.store.runs import runs_of
from evenhand.store.workbench import Workbench

NO_TEXT = "CAST(x'7bff7d' AS TEXT)"
RAW = ("Could not decode", "UTF-8", "isoformat", "JSON", "report")


@pytest.fixture
def three_runs(wb: Workbench) -> Workbench:
    for name in ("r1", "r2", "r3"):
        land(wb, Landing(name, some_log(name, lines=30)))
    return wb


def told(wb: Workbench, statement: str, read: Callable[[], object]) -> StoreProblem:
    """What reading says after a row was changed as a failing disk changes it."""
    with unguarded(wb._writer) as conn:
        conn.execute(statement)
    with pytest.raises(StoreProblem) as caught:
        read()
    assert not [word for word in RAW if word in str(caught.value)]
    assert "evenhand check" in caught.value.todo
    return caught.value


@pytest.mark.parametrize(
    ("column", "read"),
    [
        ("results.body", lambda wb: results_of(wb, "saltmarsh")),
        ("faults.evidence", lambda wb: faults_of(wb, "saltmarsh")),
        ("runs.stamps", lambda wb: runs_of(wb, "saltmarsh")),
    ],
)
def test_bytes_that_are_no_text_are_told_as_damage_with_the_field(
    three_runs: Workbench, column: str, read: Callable[[Workbench], object]
) -> None:
    freeze(three_runs, "saltmarsh", code_version="1", input_hash="a", body="{}", at=NOW)
    table, field = column.split(".")
    problem = told(three_runs, f"UPDATE {table} SET {field} = {NO_TEXT}", lambda: read(three_runs))
    assert problem.found == f"the workbench is damaged: a field '{field}' holds bytes that are no text"
    assert problem.where == str(three_runs.path)
    assert tells_of_damage(problem)


@pytest.mark.parametrize(
    ("table", "read", "found"),
    [
        ("measured", lambda wb: metrics_of(wb, "saltmarsh"), "the note when run r1 was measured is damaged"),
        ("measured", lambda wb: metrics_of_run(wb, "r2"), "the note when run r2 was measured is damaged"),
        ("triaged", lambda wb: faults_of_run(wb, "r1"), "the note when run r1 was judged is damaged"),
    ],
)
def test_a_time_that_is_none_is_told_with_the_run(
    three_runs: Workbench, table: str, read: Callable[[Workbench], object], found: str
) -> None:
    assert told(three_runs, f"UPDATE {table} SET at = 'soon'", lambda: read(three_runs)).found == found


def test_a_kind_of_log_that_is_none_is_told(three_runs: Workbench) -> None:
    statement = "INSERT INTO headers VALUES ('a', 'b', (SELECT fingerprint FROM layouts))"
    problem = told(three_runs, statement, lambda: standing(three_runs))
    assert problem.found == "the list of layouts that stand for header lines is damaged"
