"""The table of what the columns of tables were said to be, by their header."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

TABLES_APPEND_ONLY = ("table_roles",)

TABLES = """
CREATE TABLE table_roles (
    id INTEGER PRIMARY KEY,
    "of" TEXT NOT NULL,
    fingerprint TEXT NOT NULL,
    said TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX roles_of_a_header ON table_roles ("of", fingerprint);
""" + "".join(guard(table, verb) for table in TABLES_APPEND_ONLY for verb in VERBS)
