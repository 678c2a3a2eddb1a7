"""Adding a run touches that run's rows and its study's link, however many runs there are."""

from __future__ import annotations

import hashlib
import re
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.store.small_study import NOW, STUDY, Landing, land, lay_ground, run_named, some_log

from evenhand.metrics.run_metrics import RunMetrics
from evenhand.records.runs import Decision, RunState
from evenhand.store.decisions import add_decision, decisions_of_run, latest_decisions
from evenhand.store.faults import faults_of, faults_of_run
from evenhand.store.metrics import metrics_of, metrics_of_run
from evenhand.store.originals import original
from evenhand.store.runs import labelled, run, runs_of, save_run, share_run, studies_of
from evenhand.store.shelves import save
from evenhand.store.traces import packed_trace
from evenhand.store.workbench import Workbench, open_workbench

GROWING = {
    "runs": "id",
    "study_runs": "run",
    "traces": "run",
    "measured": "run",
    "metrics": "run",
    "triaged": "run",
    "faults": "run",
    "decisions": "run",
    "history": "key",
    "originals": "digest",
    "original_names": "digest",
}
# The seals of a run stand under its id or its log's digest, those of history under the entry's number.
SEALS_OF_OTHERS = (
    " WHERE key NOT IN ('new', '{digest}') AND NOT (\"table\" = 'history'"
    " AND key IN (SELECT id FROM history WHERE key = 'new'))"
)
NEW = Landing("new", some_log("new"))


@pytest.fixture(scope="module")
def thousand(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbench of 1,000 runs in two studies."""
    path = tmp_path_factory.mktemp("cost") / "thousand.evenhand"
    with open_workbench(path) as wb, wb.writing():
        lay_ground(wb)
        save(wb, STUDY.__class__(key="autumn", title="Autumn", setups=(), tests=()), now=NOW)
        for number in range(1000):
            land(wb, Landing(f"r{number:04d}", some_log(f"r{number}", lines=8)))
            add_decision(wb, Decision(run=f"r{number:04d}", at=NOW, state=RunState.KEPT))
    return path


@pytest.fixture
def wb_thousand(thousand: Path, tmp_path: Path):
    copy = tmp_path / "copy.evenhand"
    copy.write_bytes(thousand.read_bytes())
    with open_workbench(copy) as wb:
        yield wb


def rows_changed(wb: Workbench, landing: Landing) -> int:
    before = wb._writer.total_changes
    land(wb, landing)
    return wb._writer.total_changes - before


def others(wb: Workbench) -> dict[str, str]:
    """A hash of every row that does not belong to the new run, table by table."""
    found = {}
    with wb.reading() as conn:
        tables = [row[0] for row in conn.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
        for table in tables:
            key = GROWING.get(table)
            mine = f" WHERE {key} NOT IN ('new', '{NEW.digest}')" if key else ""
            if table == "seals":
                mine = SEALS_OF_OTHERS.format(digest=NEW.digest)
            rows = conn.execute(f"SELECT * FROM {table}{mine}").fetchall()
            found[table] = hashlib.sha256(repr([tuple(row) for row in rows]).encode()).hexdigest()
    return found


def test_a_new_run_changes_no_row_of_another(wb_thousand: Workbench) -> None:
    before = others(wb_thousand)
    land(wb_thousand, NEW)
    assert others(wb_thousand) == before


def test_a_new_run_changes_as_many_rows_among_a_thousand_as_alone(
    wb: Workbench, wb_thousand: Workbench
) -> None:
    assert rows_changed(wb_thousand, NEW) == rows_changed(wb, NEW)


def test_a_new_run_writes_about_as_many_pages_among_a_thousand_as_alone(
    wb: Workbench, wb_thousand: Workbench
) -> None:
    def pages_written(bench: Workbench) -> int:
        bench._writer.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        land(bench, NEW)
        return bench.path.with_name(f"{bench.path.name}-wal").stat().st_size // 8192

    alone, among = pages_written(wb), pages_written(wb_thousand)
    with wb_thousand.reading() as conn:
        total = conn.execute("PRAGMA page_count").fetchone()[0]
    assert total > 5 * among
    # Each of the dozen trees may be one or two levels deeper, and a leaf may split.
    assert among <= 2 * alone + 8


def find_by_beginning(wb: Workbench) -> None:
    save_run(wb, run_named("x1f9"), now=NOW)
    assert run(wb, "x1").id == "x1f9"


READS_AND_WRITES: dict[str, Callable[[Workbench], object]] = {
    "land a run": lambda wb: land(wb, NEW),
    "land it again": lambda wb: land(wb, Landing("r0500", some_log("r500", lines=8))),
    "change a run": lambda wb: save_run(wb, run_named("r0500", boot="b7"), now=NOW),
    "share a run": lambda wb: share_run(wb, "r0500", study="autumn", now=NOW),
    "decide": lambda wb: add_decision(wb, Decision(run="r0500", at=NOW, state=RunState.KEPT)),
    "find a run": lambda wb: run(wb, "r0500"),
    "find a run by its beginning": find_by_beginning,
    "find runs by label": lambda wb: labelled(wb, "r0500"),
    "read its trace": lambda wb: packed_trace(wb, "r0500"),
    "read its original": lambda wb: original(wb, hashlib.sha256(some_log("r500", lines=8)).hexdigest()),
    "read its metrics": lambda wb: metrics_of_run(wb, "r0500"),
    "read its faults": lambda wb: faults_of_run(wb, "r0500"),
    "read its decisions": lambda wb: decisions_of_run(wb, "r0500"),
    "read its studies": lambda wb: studies_of(wb, "r0500"),
    "list a study's runs": lambda wb: runs_of(wb, "autumn"),
    "list a study's metrics": lambda wb: metrics_of(wb, "autumn"),
    "list a study's faults": lambda wb: faults_of(wb, "autumn"),
    "list a study's decisions": lambda wb: latest_decisions(wb, "autumn"),
}


@pytest.mark.parametrize("name", READS_AND_WRITES)
def test_no_statement_looks_through_a_whole_table_of_runs(
    wb_thousand: Workbench, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    wb_thousand._writer.set_trace_callback(said.append)
    plain_connect = sqlite3.connect

    def listening(*args, **kwargs) -> sqlite3.Connection:
        conn = plain_connect(*args, **kwargs)
        conn.set_trace_callback(said.append)
        return conn

    monkeypatch.setattr("sqlite3.connect", listening)
    READS_AND_WRITES[name](wb_thousand)
    wb_thousand._writer.set_trace_callback(None)
    statements = [text for text in said if re.match("SELECT|INSERT|UPDATE|DELETE", text)]
    assert statements
    for statement in statements:
        for step in wb_thousand._writer.execute(f"EXPLAIN QUERY PLAN {statement}"):
            scanned = re.match(r"SCAN (\w+)", step["detail"])
            assert scanned is None or scanned[1] not in GROWING, f"{statement[:200]}: {step['detail']}"


def test_a_study_s_metrics_are_one_statement(wb_thousand: Workbench, monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[str] = []
    with wb_thousand.writing() as conn:
        conn.set_trace_callback(said.append)
        found = metrics_of(wb_thousand, "saltmarsh")
        conn.set_trace_callback(None)
    assert len(found) == 1000
    assert isinstance(found["r0999"].metrics, RunMetrics)
    assert len(said) == 1
