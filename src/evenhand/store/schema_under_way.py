"""The table of trials that rigs said they are running, until their records have come."""

from __future__ import annotations

UNDER_WAY = """
CREATE TABLE trials_under_way (
    key TEXT PRIMARY KEY,
    setup TEXT NOT NULL REFERENCES setups (key),
    part TEXT NOT NULL,
    clock_mhz REAL NOT NULL,
    voltage_mv REAL NOT NULL,
    load TEXT NOT NULL,
    planned_h REAL,
    settings TEXT NOT NULL,
    room_c REAL,
    rig TEXT NOT NULL,
    "by" TEXT NOT NULL,
    begun_at TEXT NOT NULL,
    heard_at TEXT NOT NULL,
    hours REAL NOT NULL,
    errors INTEGER NOT NULL,
    hottest_c REAL,
    over INTEGER NOT NULL,
    stop_at TEXT,
    stop_by TEXT NOT NULL,
    given_up_at TEXT,
    given_up_why TEXT NOT NULL
) STRICT;
CREATE INDEX trials_under_way_of_a_setup ON trials_under_way (setup);
"""
