"""Tables of tuned parts, the limits that their makers set, and the trials of their clocks and voltages."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

TRIALS_APPEND_ONLY = (
    "tuned_parts", "maker_limits", "maker_limits_taken_back", "trials", "trials_taken_back",
)  # fmt: skip

TRIALS = """
CREATE TABLE tuned_parts (
    id INTEGER PRIMARY KEY,
    setup TEXT NOT NULL REFERENCES setups (key),
    part TEXT NOT NULL,
    stock_clock_mhz REAL NOT NULL,
    stock_voltage_mv REAL,
    clock_step_mhz REAL NOT NULL,
    voltage_step_mv REAL NOT NULL,
    offset INTEGER NOT NULL,
    hottest_room_c REAL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX tuned_parts_of_a_setup ON tuned_parts (setup);

CREATE TABLE maker_limits (
    id INTEGER PRIMARY KEY,
    setup TEXT NOT NULL REFERENCES setups (key),
    part TEXT NOT NULL,
    quantity TEXT NOT NULL,
    most REAL NOT NULL,
    source TEXT NOT NULL,
    read_on TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX maker_limits_of_a_setup ON maker_limits (setup);

CREATE TABLE maker_limits_taken_back (
    maker_limit INTEGER PRIMARY KEY REFERENCES maker_limits (id), reason TEXT NOT NULL, at TEXT NOT NULL
) STRICT;

CREATE TABLE trials (
    id INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE,
    setup TEXT NOT NULL REFERENCES setups (key),
    part TEXT NOT NULL,
    clock_mhz REAL NOT NULL,
    voltage_mv REAL NOT NULL,
    load TEXT NOT NULL,
    hours REAL NOT NULL,
    outcome TEXT NOT NULL,
    planned_h REAL,
    found_after_h REAL,
    errors INTEGER NOT NULL,
    settings TEXT NOT NULL,
    room_c REAL,
    hottest_c REAL,
    tried_at TEXT,
    note TEXT NOT NULL,
    by TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX trials_of_a_setup ON trials (setup);

CREATE TABLE trials_taken_back (
    trial INTEGER PRIMARY KEY REFERENCES trials (id), reason TEXT NOT NULL, at TEXT NOT NULL
) STRICT;
""" + "".join(guard(table, verb) for table in TRIALS_APPEND_ONLY for verb in VERBS)

WATTS = """
ALTER TABLE trials ADD COLUMN watts REAL;
ALTER TABLE trials ADD COLUMN watts_at TEXT;
"""

CORRECTED = "ALTER TABLE trials ADD COLUMN corrected INTEGER NOT NULL DEFAULT 0;"
