"""Trials of tuned parts: only ever added to, each once by its key; one that is taken back counts no more."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from evenhand.errors import BadRecord, NotFound
from evenhand.records.trials import Meter, Outcome, Trial
from evenhand.records.turns import Turn, why_gone
from evenhand.store.rows import Row, as_text, legible, moment
from evenhand.store.taking_back import Ledger
from evenhand.store.workbench import Workbench

TRIALS = Ledger(table="trials", back="trials_taken_back", noun="trial", again="trials_reconsidered")


def add_trial(wb: Workbench, trial: Trial, *, at: datetime) -> Trial:
    """Puts a trial on record; the trial with its number. Its very key again is the one on record.

    Raises BadRecord where it has no key, or one on record has this key and tells something else.
    """
    if not trial.key:
        raise BadRecord("the trial has no key of its own", where="a trial", todo="give it one")
    with wb.writing() as conn:
        row = conn.execute("SELECT * FROM trials WHERE key = ?", (trial.key,)).fetchone()
        if row is not None:
            there = trial_from(row)
            if replace(there, id=0, by="") != replace(trial, id=0, by="", settings=dict(trial.settings)):
                raise BadRecord(
                    f"another trial has the key \u2018{trial.key}\u2019: number {there.id}",
                    where="key",
                    todo="give this one a key of its own, or take the other one back",
                )
            return there
        return replace(trial, id=TRIALS.add(conn, _row(trial, at)))


def _row(trial: Trial, at: datetime) -> Row:
    return {
        "key": trial.key, "setup": trial.setup, "part": trial.part, "clock_mhz": trial.clock_mhz,
        "voltage_mv": trial.voltage_mv, "load": trial.load, "hours": trial.hours,
        "outcome": trial.outcome.value, "planned_h": trial.planned_h, "found_after_h": trial.found_after_h,
        "errors": trial.errors, "corrected": trial.corrected,
        "settings": as_text(dict(trial.settings)), "room_c": trial.room_c, "hottest_c": trial.hottest_c,
        "watts": trial.watts, "watts_at": None if trial.watts_at is None else trial.watts_at.value,
        "tried_at": None if trial.at is None else trial.at.isoformat(),
        "note": trial.note, "by": trial.by, "at": at.isoformat(),
    }  # fmt: skip


def take_back_trial(wb: Workbench, number: int, reason: str, *, at: datetime) -> Trial:
    """A trial that was a mistake counts no more. Raises NotFound where none of this number counts."""
    row = TRIALS.take_back(wb, number, at=at, todo="see the trials of the part", reason=reason)
    return trial_from(row)


def put_back_trial(wb: Workbench, number: int, reason: str, *, at: datetime) -> Trial:
    """A trial that had been taken back counts again. Raises NotFound where none of this number is."""
    row = TRIALS.put_back(wb, number, at=at, todo="see the trials of the part", reason=reason)
    return trial_from(row)


def trials_of(wb: Workbench, setups: Iterable[str], *, ever: bool = False) -> tuple[Trial, ...]:
    """Every trial of these setups that counts, in order of arrival; with `ever` those taken back, too."""
    with wb.reading() as conn:
        rows = TRIALS.rows_of(conn, "setup", setups, ever=ever, order="id")
    return tuple(map(trial_from, rows))


def trial_keyed(wb: Workbench, key: str) -> Trial:
    """The trial with this key, taken back or not. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM trials WHERE key = ?", (key,)).fetchone()
    if row is None:
        raise NotFound(f"no trial has the key '{key}'", where=str(wb.path), todo="send the trial first")
    return trial_from(row)


def trial_numbered(wb: Workbench, number: int) -> Trial:
    """A trial, taken back or not. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM trials WHERE id = ?", (number,)).fetchone()
    if row is None:
        raise NotFound(f"there is no trial {number}", where=str(wb.path), todo="see the trials of the part")
    return trial_from(row)


def turns(wb: Workbench) -> dict[int, tuple[Turn, ...]]:
    """By trial each time that it was taken back or put back, the first first."""
    with wb.reading() as conn:
        return TRIALS.turns(conn)


def reasons(wb: Workbench) -> dict[int, str]:
    """Why trials count no more, by their numbers."""
    found = {trial: why_gone(own) for trial, own in turns(wb).items()}
    return {trial: why for trial, why in found.items() if why is not None}


def trial_from(row: sqlite3.Row) -> Trial:
    """The trial that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"trial {row['id']}"):
        return Trial(
            id=row["id"], key=row["key"], setup=row["setup"], part=row["part"], clock_mhz=row["clock_mhz"],
            voltage_mv=row["voltage_mv"], load=row["load"], hours=row["hours"],
            outcome=Outcome(row["outcome"]), planned_h=row["planned_h"], found_after_h=row["found_after_h"],
            errors=row["errors"], corrected=row["corrected"], settings=json.loads(row["settings"]),
            room_c=row["room_c"], hottest_c=row["hottest_c"], watts=row["watts"],
            watts_at=None if row["watts_at"] is None else Meter(row["watts_at"]),
            at=moment(row["tried_at"]), note=row["note"], by=row["by"],
        )  # fmt: skip
