"""Tables of trials and limits that had been taken back and were put back, or taken back once more."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

RECONSIDERED_APPEND_ONLY = ("trials_reconsidered", "maker_limits_reconsidered")

RECONSIDERED = """
CREATE TABLE trials_reconsidered (
    id INTEGER PRIMARY KEY,
    trial INTEGER NOT NULL REFERENCES trials (id),
    counts INTEGER NOT NULL,
    reason TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX reconsidered_of_a_trial ON trials_reconsidered (trial);

CREATE TABLE maker_limits_reconsidered (
    id INTEGER PRIMARY KEY,
    maker_limit INTEGER NOT NULL REFERENCES maker_limits (id),
    counts INTEGER NOT NULL,
    reason TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX reconsidered_of_a_limit ON maker_limits_reconsidered (maker_limit);
""" + "".join(guard(table, verb) for table in RECONSIDERED_APPEND_ONLY for verb in VERBS)
