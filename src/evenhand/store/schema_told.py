"""Tables of what rigs tell of their machines, and of which parts somebody said that these are."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

TOLD_APPEND_ONLY = ("inventories", "told_parts")

TOLD = """
CREATE TABLE inventories (
    id INTEGER PRIMARY KEY,
    rig TEXT NOT NULL,
    name TEXT NOT NULL,
    build TEXT,
    told TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;

CREATE TABLE told_parts (
    id INTEGER PRIMARY KEY,
    rig TEXT NOT NULL,
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    nth INTEGER NOT NULL,
    part TEXT REFERENCES parts (key),
    at TEXT NOT NULL
) STRICT;
""" + "".join(guard(table, verb) for table in TOLD_APPEND_ONLY for verb in VERBS)
