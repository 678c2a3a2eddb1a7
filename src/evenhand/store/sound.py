"""Readings of sound level meters: only ever added to; one that is taken back stays and counts no more."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from evenhand.records.sound import SoundReading
from evenhand.store.rows import as_text, legible, moment
from evenhand.store.taking_back import Ledger
from evenhand.store.workbench import Workbench

READINGS = Ledger(table="sound_readings", back="sound_taken_back", noun="reading")


def add_reading(wb: Workbench, reading: SoundReading, *, at: datetime) -> SoundReading:
    """Puts a reading on record; the reading with its number. The same numbers again are another."""
    row = {
        "setup": reading.setup,
        "test": reading.test or None,
        "level_db": reading.level_db,
        "background_db": reading.background_db,
        "distance_m": reading.distance_m,
        "weighting": reading.weighting,
        "temperatures_c": as_text(reading.temperatures_c),
        "room_c": reading.room_c,
        "read_at": None if reading.at is None else reading.at.isoformat(),
        "note": reading.note,
        "at": at.isoformat(),
    }
    with wb.writing() as conn:
        return replace(reading, id=READINGS.add(conn, row))


def take_back_reading(wb: Workbench, number: int, *, at: datetime) -> SoundReading:
    """A reading that was a mistake counts no more. Raises NotFound where none of this number counts."""
    return reading_from(READINGS.take_back(wb, number, at=at, todo="see the readings of the setup"))


def readings_of(wb: Workbench, setups: Iterable[str], *, ever: bool = False) -> tuple[SoundReading, ...]:
    """Every reading of these setups that counts, in order of arrival; with `ever` those taken back, too."""
    with wb.reading() as conn:
        rows = READINGS.rows_of(conn, "setup", setups, ever=ever, order="id")
    return tuple(map(reading_from, rows))


def reading_from(row: sqlite3.Row) -> SoundReading:
    """The reading that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"sound reading {row['id']}"):
        return SoundReading(
            id=row["id"],
            setup=row["setup"],
            test=row["test"] or "",
            level_db=row["level_db"],
            background_db=row["background_db"],
            distance_m=row["distance_m"],
            weighting=row["weighting"],
            temperatures_c=json.loads(row["temperatures_c"]),
            room_c=row["room_c"],
            at=moment(row["read_at"]),
            note=row["note"],
        )
