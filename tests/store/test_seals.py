"""What is changed, swapped, taken out or put in behind our back is told by the check."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from tests.store.earlier import brought_back
from tests.store.small_study import METRICS, NOW, Landing, land, lay_ground, some_log, unguarded

from evenhand.records.runs import Decision, RunState
from evenhand.store.connecting import connect
from evenhand.store.decisions import add_decision
from evenhand.store.lessons import Kept, choose, save_lesson
from evenhand.store.metrics import save_metrics
from evenhand.store.migrations import MIGRATIONS, migrate
from evenhand.store.results import freeze
from evenhand.store.runs import note_named
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench, open_workbench


def fill(wb: Workbench) -> None:
    """A row in every sealed table."""
    for name in ("r1", "r2", "r3"):
        land(wb, Landing(name, some_log(name)))
        add_decision(wb, Decision(run=name, at=NOW, state=RunState.KEPT))
    note_named(wb, "saltmarsh", ["r1", "r2"], now=NOW)
    freeze(wb, "saltmarsh", code_version="1", input_hash="a", body='{"findings":[]}', at=NOW)
    lesson = Kept(study="saltmarsh", test="causeway", runs=3, figures={"f": (1.0, 2.0)}, counts=True, at=NOW)
    save_lesson(wb, lesson, code_version="1")
    choose(wb, "causeway", "saltmarsh", counts=False, now=NOW)


@pytest.fixture
def full(wb: Workbench) -> Workbench:
    fill(wb)
    return wb


def problems_after(wb: Workbench, *statements: str) -> tuple[str, ...]:
    """What the check says once somebody with a database program has been at work."""
    with closing(sqlite3.connect(wb.path, isolation_level=None)) as conn, unguarded(conn):
        for statement in statements:
            conn.execute(statement)
    return check(wb.path).problems


def test_what_evenhand_wrote_is_sound(full: Workbench) -> None:
    save_metrics(full, "r1", METRICS, code_version="2", now=NOW)
    assert problems_after(full) == ()


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        (
            "UPDATE metrics SET value = value * 1.2 WHERE run = 'r2' AND value IS NOT NULL",
            "the list of numbers of run r2 is not what Evenhand wrote",
        ),
        ("DELETE FROM metrics WHERE run = 'r2'", "the list of numbers of run r2 is gone"),
        (
            "DELETE FROM metrics WHERE run = 'r2' AND key = 'low-1'",
            "the list of numbers of run r2 is not what Evenhand wrote",
        ),
        (
            "UPDATE measured SET code_version = '9' WHERE run = 'r2'",
            "the note when run r2 was measured is not what Evenhand wrote",
        ),
        ("DELETE FROM traces WHERE run = 'r2'", "the trace of run r2 is gone"),
        (
            "UPDATE traces SET packed = (SELECT packed FROM traces WHERE run = 'r1') WHERE run = 'r2'",
            "the trace of run r2 is not what Evenhand wrote",
        ),
        ("DELETE FROM decisions WHERE run = 'r3'", "decisions '3' is gone"),
        ("UPDATE decisions SET note = 'fine' WHERE run = 'r1'", "decisions '1' is not what Evenhand wrote"),
        (
            "UPDATE decisions SET run = 'r2' WHERE id = 1",
            "decisions '1' is not what Evenhand wrote",
        ),
        ("DELETE FROM study_runs WHERE run = 'r2'", "the note which studies use run r2 is gone"),
        (
            "UPDATE study_runs SET named = 1 WHERE run = 'r3'",
            "the note which studies use run r3 is not what Evenhand wrote",
        ),
        ("DELETE FROM faults WHERE run = 'r2'", "faults 'r2' is gone"),
        ("UPDATE faults SET severity = 'note' WHERE run = 'r2'", "faults 'r2' is not what Evenhand wrote"),
        ("UPDATE results SET body = '{}'", "results '1' is not what Evenhand wrote"),
        ("UPDATE results SET body = '{\"f'", "results '1' cannot be read"),
        ("UPDATE results SET body = '3'", "results '1' cannot be read"),
        ("DELETE FROM results", "results '1' is gone"),
        ("UPDATE lessons SET runs = 90", "lessons 'saltmarsh causeway' is not what Evenhand wrote"),
        ("DELETE FROM forgotten", "forgotten '1' is gone"),
        ("UPDATE history SET at = '2031' WHERE id = 1", "entry 1 of the table history is not what"),
        ("DELETE FROM seals", "the table seals is empty"),
        ("DELETE FROM seals WHERE \"table\" = 'lessons'", "lessons 'saltmarsh causeway' was not written by"),
    ],
)
def test_one_change_is_one_problem(full: Workbench, statement: str, words: str) -> None:
    (problem,) = problems_after(full, statement)
    assert problem.startswith(words)


def test_a_run_taken_out_with_all_its_rows_is_missed(full: Workbench) -> None:
    tables = ("faults", "triaged", "metrics", "measured", "traces", "decisions", "study_runs")
    problems = problems_after(
        full,
        *(f"DELETE FROM {table} WHERE run = 'r1'" for table in tables),
        "DELETE FROM runs WHERE id = 'r1'",
    )
    assert "runs 'r1' is gone" in problems
    assert not any("r2" in problem or "r3" in problem for problem in problems)


def test_a_name_of_an_original_that_is_gone_is_missed(full: Workbench) -> None:
    digest = Landing("r1", some_log("r1")).digest
    (problem,) = problems_after(full, f"DELETE FROM original_names WHERE digest = '{digest}'")
    assert problem == f"the list of names of original {digest[:12]}… is gone"


def test_an_emptied_history_is_told_in_short(full: Workbench) -> None:
    problems = problems_after(full, "DELETE FROM history")
    gone = [problem for problem in problems if problem.startswith("entry ")]
    assert gone[0] == "entry 1 of the table history is gone"
    assert len(gone) <= 20


def test_many_changes_of_one_kind_are_counted(full: Workbench) -> None:
    for number in range(25):
        land(full, Landing(f"x{number}", some_log(f"x{number}")))
    problems = problems_after(full, "UPDATE metrics SET value = value * 1.2 WHERE value IS NOT NULL")
    assert len(problems) == 21
    assert problems[-1] == "and 8 more of the table metrics"


def test_a_record_that_history_knows_and_that_is_gone_is_missed(full: Workbench) -> None:
    problems = problems_after(full, "DELETE FROM build_parts", "DELETE FROM parts WHERE key = 'osk-9'")
    assert problems == ("parts 'osk-9' is gone", "builds 'plover' is not what history last said: parts")


def test_a_header_that_is_read_by_another_layout_than_history_says_is_told(full: Workbench) -> None:
    (problem,) = problems_after(full, "INSERT INTO headers VALUES ('h', 'frames', 'f1')")
    assert problem == "the layout that stands for the header 'h frames' is not what history last said"


def test_a_workbench_from_before_there_were_seals_is_sealed_as_it_stands(tmp_path: Path) -> None:
    path = tmp_path / "old.evenhand"
    with open_workbench(path) as wb:
        lay_ground(wb)
        fill(wb)
    conn = connect(path, mode="rw")
    brought_back(conn, tmp_path, step=2)
    report = check(path)
    assert report.sound
    assert report.behind
    migrate(conn, steps=MIGRATIONS[:3])
    sealed = conn.execute('SELECT count(DISTINCT "table") FROM seals').fetchone()[0]
    conn.close()
    assert sealed == 13
    with open_workbench(path) as wb:
        assert "the trace of run r1 is gone" in problems_after(wb, "DELETE FROM traces WHERE run = 'r1'")
