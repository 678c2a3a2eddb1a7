"""Tables of what machines cost and how they sound, and whom a study is for."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

WORTH_APPEND_ONLY = ("prices", "prices_taken_back", "sound_readings", "sound_taken_back")

WORTH = """
ALTER TABLE studies ADD COLUMN audiences TEXT;
ALTER TABLE studies ADD COLUMN currency TEXT;

CREATE TABLE prices (
    id INTEGER PRIMARY KEY,
    build TEXT NOT NULL REFERENCES builds (key),
    minor INTEGER NOT NULL,
    currency TEXT NOT NULL,
    "on" TEXT NOT NULL,
    note TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX prices_of_a_build ON prices (build);

CREATE TABLE prices_taken_back (price INTEGER PRIMARY KEY REFERENCES prices (id), at TEXT NOT NULL) STRICT;

CREATE TABLE sound_readings (
    id INTEGER PRIMARY KEY,
    setup TEXT NOT NULL REFERENCES setups (key),
    test TEXT REFERENCES tests (key),
    level_db REAL NOT NULL,
    background_db REAL,
    distance_m REAL,
    weighting TEXT NOT NULL,
    temperatures_c TEXT NOT NULL,
    room_c REAL,
    read_at TEXT,
    note TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX sound_of_a_setup ON sound_readings (setup);

CREATE TABLE sound_taken_back (
    reading INTEGER PRIMARY KEY REFERENCES sound_readings (id), at TEXT NOT NULL
) STRICT;
""" + "".join(guard(table, verb) for table in WORTH_APPEND_ONLY for verb in VERBS)
