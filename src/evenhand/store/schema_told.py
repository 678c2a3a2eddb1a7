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

INVENTORIES_KEPT = 20
"""Of one rig the newest so many stay, and those that stood when somebody said which part one of theirs is."""

BOUNDED = f"""
DROP TRIGGER inventories_no_delete;

CREATE TRIGGER inventories_no_delete BEFORE DELETE ON inventories
WHEN OLD.id IN (SELECT id FROM inventories WHERE rig = OLD.rig ORDER BY id DESC LIMIT {INVENTORIES_KEPT})
OR EXISTS (
    SELECT 1 FROM told_parts WHERE rig = OLD.rig
    AND OLD.id = (SELECT max(id) FROM inventories WHERE rig = OLD.rig AND at <= told_parts.at)
)
BEGIN SELECT RAISE(ABORT, 'the newest inventories of a rig, and those that were confirmed, stay'); END;
"""  # noqa: S608
