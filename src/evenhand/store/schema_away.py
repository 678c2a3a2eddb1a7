"""The table of studies that were put away and brought back."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

AWAY_APPEND_ONLY = ("studies_away",)

AWAY = """
CREATE TABLE studies_away (
    id INTEGER PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    away INTEGER NOT NULL,
    note TEXT NOT NULL,
    "by" TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX away_of_a_study ON studies_away (study);
""" + "".join(guard(table, verb) for table in AWAY_APPEND_ONLY for verb in VERBS)
