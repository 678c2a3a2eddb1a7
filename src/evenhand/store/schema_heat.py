"""Tables of temperature logs that belong to tuned parts."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

HEAT_APPEND_ONLY = ("heat_logs", "heat_logs_taken_back")

HEAT = """
CREATE TABLE heat_logs (
    id INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE,
    setup TEXT NOT NULL REFERENCES setups (key),
    part TEXT NOT NULL,
    log TEXT NOT NULL REFERENCES originals (digest),
    layout TEXT NOT NULL REFERENCES layouts (fingerprint),
    columns TEXT NOT NULL,
    room_c REAL,
    from_s REAL,
    to_s REAL,
    clock_mhz REAL,
    voltage_mv REAL,
    settings TEXT NOT NULL,
    logged_at TEXT,
    note TEXT NOT NULL,
    by TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX heat_logs_of_a_setup ON heat_logs (setup);

CREATE TABLE heat_logs_taken_back (
    heat_log INTEGER PRIMARY KEY REFERENCES heat_logs (id), reason TEXT NOT NULL, at TEXT NOT NULL
) STRICT;
""" + "".join(guard(table, verb) for table in HEAT_APPEND_ONLY for verb in VERBS)
