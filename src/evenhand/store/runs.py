"""Runs, and the studies they are looked at in."""

from __future__ import annotations

import difflib
import json
import sqlite3
from collections.abc import Collection
from dataclasses import replace
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.records.runs import Run
from evenhand.records.windows import Window
from evenhand.store.rows import Row, Saved, as_text, insert, legible, moment, note_change, upsert
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_SHOWN = 5  # how many runs an ambiguous prefix lists


def save_run(wb: Workbench, run: Run, *, now: datetime) -> Saved:
    """Stores a run under its id and puts it into its study.

    A run belongs to the study it was first stored in; stored again under another study it is shared
    with that one. Raises BadRecord where it names a study, test, setup, layout or original that is not
    on record.
    """
    with wb.writing() as conn:
        row = conn.execute("SELECT * FROM runs WHERE id = ?", (run.id,)).fetchone()
        before = None if row is None else run_from(row)
        after = run if before is None else replace(run, study=before.study)
        if before != after:
            upsert(conn, "runs", _row(after), key="id")
            seal(conn, "runs", run.id)
            note_change(conn, "runs", run.id, before=before, after=after, at=now)
        shared = share_run(wb, run.id, study=run.study, now=now)
    if before is None:
        return Saved.NEW
    return Saved.SAME if before == after and shared is Saved.SAME else Saved.CHANGED


def share_run(wb: Workbench, run_id: str, *, study: str, now: datetime) -> Saved:
    """Lets a study use a run that is on record already."""
    with wb.writing() as conn:
        link = (study, run_id)
        if conn.execute("SELECT 1 FROM study_runs WHERE study = ? AND run = ?", link).fetchone():
            return Saved.SAME
        insert(conn, "study_runs", {"study": study, "run": run_id, "named": 1})
        seal(conn, "study_runs", run_id)
        note_change(conn, "study_runs", run_id, before=None, after=_link(study, run_id), at=now)
    return Saved.NEW


def _link(study: str, run_id: str, *, named: bool = True) -> dict[str, object]:
    return {"study": study, "run": run_id, "named": named}


def note_named(wb: Workbench, study: str, named: Collection[str], *, now: datetime) -> None:
    """Notes which runs of a study its folder names now; each that left it or came back is history."""
    with wb.writing() as conn:
        for row in conn.execute("SELECT * FROM study_runs WHERE study = ?", (study,)).fetchall():
            run_id, was, now_named = row["run"], bool(row["named"]), row["run"] in named
            if was is now_named:
                continue
            conn.execute("UPDATE study_runs SET named = ? WHERE id = ?", (int(now_named), row["id"]))
            seal(conn, "study_runs", run_id)
            before, after = (_link(study, run_id, named=each) for each in (was, now_named))
            note_change(conn, "study_runs", run_id, before=before, after=after, at=now)


def name_again(wb: Workbench, study: str, run_id: str, *, now: datetime) -> None:
    """Notes that a run which a study's folder named no longer is named now."""
    with wb.writing() as conn:
        link = (study, run_id)
        row = conn.execute(
            "SELECT * FROM study_runs WHERE study = ? AND run = ? AND named = 0", link
        ).fetchone()
        if row is not None:
            conn.execute("UPDATE study_runs SET named = 1 WHERE id = ?", (row["id"],))
            seal(conn, "study_runs", run_id)
            before, after = _link(study, run_id, named=False), _link(study, run_id)
            note_change(conn, "study_runs", run_id, before=before, after=after, at=now)


def not_named(wb: Workbench, study: str) -> frozenset[str]:
    """The ids of a study's runs that its folder, when last imported, did not name."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT run FROM study_runs WHERE study = ? AND named = 0", (study,))
        return frozenset(row["run"] for row in rows)


def run(wb: Workbench, id_or_prefix: str) -> Run:
    """The run with this id, or the only one whose id begins so.

    Raises NotFound where there is none (with the nearest id) or more than one (with the first few).
    """
    with wb.reading() as conn:
        found = _beginning_with(conn, id_or_prefix) if id_or_prefix else []
        if not found:
            raise NotFound(
                f"no run is called '{id_or_prefix}'",
                where=str(wb.path),
                todo=_nearest_run(conn, id_or_prefix),
            )
    exact = [each for each in found if each.id == id_or_prefix]
    if not exact and len(found) > 1:
        shown = ", ".join(f"{each.id} ({each.label})" for each in found[:_SHOWN])
        more = " and more" if len(found) > _SHOWN else ""
        raise NotFound(
            f"more than one run begins with '{id_or_prefix}': {shown}{more}",
            where=str(wb.path),
            todo="write more of the id",
        )
    return (exact or found)[0]


def on_record(wb: Workbench, run_id: str) -> Run | None:
    """The run with this id as it is on record, if it is."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM runs WHERE id = ?", (run_id,)).fetchone()
        return None if row is None else run_from(row)


def labelled(wb: Workbench, label: str) -> tuple[Run, ...]:
    """Every run with this label, in order of arrival."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM runs WHERE label = ? ORDER BY rowid", (label,))
        return tuple(run_from(row) for row in rows)


def runs_with(wb: Workbench, digest: str) -> tuple[Run, ...]:
    """Every run whose log, score table or sensor log has these bytes, in order of arrival."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM runs WHERE ? IN (log, sensors) ORDER BY rowid", (digest,))
        return tuple(run_from(row) for row in rows)


def sensed_runs(wb: Workbench, setup: str) -> tuple[Run, ...]:
    """The runs of a setup that have a sensor log which can be read, in order of arrival."""
    asked = "setup = ? AND sensors IS NOT NULL AND sensor_layout IS NOT NULL"
    with wb.reading() as conn:
        rows = conn.execute(f"SELECT * FROM runs WHERE {asked} ORDER BY rowid", (setup,))  # noqa: S608
        return tuple(map(run_from, rows))


def logs_elsewhere(wb: Workbench, study: str) -> tuple[tuple[str, str], ...]:
    """Each run of a study with each run outside it that was made of the very same log, by their ids."""
    with wb.reading() as conn:
        rows = conn.execute(
            "WITH here AS MATERIALIZED (SELECT run FROM study_runs WHERE study = ?),"
            " others AS MATERIALIZED (SELECT id, log, rowid AS row FROM runs"
            " WHERE log IS NOT NULL AND id NOT IN here)"
            " SELECT own.id AS own, others.id AS other FROM others JOIN runs AS own ON own.log = others.log"
            " WHERE own.id IN here ORDER BY own.rowid, others.row",
            (study,),
        )
        return tuple((row["own"], row["other"]) for row in rows)


def runs_of(wb: Workbench, study: str) -> tuple[Run, ...]:
    """The runs of a study in order of arrival, each under this study's key; empty where it has none."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT runs.* FROM study_runs JOIN runs ON runs.id = study_runs.run"
            " WHERE study_runs.study = ? ORDER BY study_runs.id",
            (study,),
        )
        runs = map(run_from, rows)
        return tuple(run if run.study == study else replace(run, study=study) for run in runs)


def labels_of(wb: Workbench, study: str) -> tuple[tuple[str, str, str], ...]:
    """Test, setup and label of every run of a study, in order of arrival."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT test, setup, label FROM study_runs JOIN runs ON runs.id = study_runs.run"
            " WHERE study_runs.study = ? ORDER BY study_runs.id",
            (study,),
        )
        return tuple((row["test"], row["setup"], row["label"]) for row in rows)


def studies_of(wb: Workbench, run_id: str) -> tuple[str, ...]:
    """The studies that use a run, the one it was first stored in first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT study FROM study_runs WHERE run = ? ORDER BY id", (run_id,))
        return tuple(row["study"] for row in rows)


def first_stored_in(wb: Workbench, study: str) -> frozenset[str]:
    """The ids of the runs that were stored in this study before any other used them."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT run FROM study_runs AS here WHERE study = ? AND NOT EXISTS"
            " (SELECT 1 FROM study_runs AS before WHERE before.run = here.run AND before.id < here.id)",
            (study,),
        )
        return frozenset(row["run"] for row in rows)


def _beginning_with(conn: sqlite3.Connection, prefix: str) -> list[Run]:
    # A range and not LIKE: it is exact about case, knows no wildcards, and uses the key's index.
    rows = conn.execute(
        "SELECT * FROM runs WHERE id >= ? AND id < ? ORDER BY id LIMIT ?",
        (prefix, prefix + chr(0x10FFFF), _SHOWN + 1),
    )
    return [run_from(row) for row in rows]


def _nearest_run(conn: sqlite3.Connection, name: str) -> str:
    ids = [row[0] for row in conn.execute("SELECT id FROM runs")]
    if not ids:
        return "no run has been stored yet"
    close = difflib.get_close_matches(name, ids, n=1)
    return f"did you mean '{close[0]}'?" if close else "list the runs of the study to see their ids"


def _row(record: Run) -> Row:
    return {
        "id": record.id,
        "study": record.study,
        "test": record.test,
        "setup": record.setup,
        "label": record.label,
        "log": record.log,
        "log_layout": record.log_layout,
        "sensors": record.sensors,
        "sensor_layout": record.sensor_layout,
        "score": record.score,
        "score_row": None if record.score_row is None else as_text(record.score_row),
        "boot": record.boot,
        "order": record.order,
        "started_at": None if record.started_at is None else record.started_at.isoformat(),
        "duration_s": record.duration_s,
        "ambient_c": record.ambient_c,
        "wall_w": record.wall_w,
        "stamps": as_text(record.stamps),
        "window": None if record.window is None else as_text(record.window),
    }


def run_from(row: sqlite3.Row) -> Run:
    """The run that a row of `runs` holds. Raises StoreProblem where it holds none."""
    with legible(f"run {row['id']}"):
        window = dict(row).get("window")  # a workbench that is only looked at may know of none
        read = {
            "started_at": moment(row["started_at"]),
            "stamps": json.loads(row["stamps"]),
            "score_row": None if row["score_row"] is None else tuple(json.loads(row["score_row"])),
            "window": None if window is None else Window(**json.loads(window)),
        }
        return Run(**{**dict(row), **read})
