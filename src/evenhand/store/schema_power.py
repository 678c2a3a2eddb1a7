"""The table of what is assumed of power otherwise than as usual."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

POWER_APPEND_ONLY = ("power_terms",)

POWER = """
CREATE TABLE power_terms (id INTEGER PRIMARY KEY, terms TEXT NOT NULL, at TEXT NOT NULL) STRICT;
""" + "".join(guard(table, verb) for table in POWER_APPEND_ONLY for verb in VERBS)
