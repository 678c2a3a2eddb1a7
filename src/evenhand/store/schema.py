"""The tables of the workbench as SQL, one text a migration. A text that has shipped is never edited.

`docs/formats-workbench.md` says in words what each table and column holds. Columns are named as the
fields of the records, so the reserved words among them stand in quotes.
"""

from __future__ import annotations

FACTS = """
CREATE TABLE parts (
    key TEXT PRIMARY KEY, kind TEXT NOT NULL, name TEXT NOT NULL, note TEXT NOT NULL
) STRICT;

CREATE TABLE builds (
    key TEXT PRIMARY KEY, name TEXT NOT NULL, slot INTEGER NOT NULL, note TEXT NOT NULL
) STRICT;

CREATE TABLE build_parts (
    build TEXT NOT NULL REFERENCES builds (key),
    position INTEGER NOT NULL,
    part TEXT NOT NULL REFERENCES parts (key),
    PRIMARY KEY (build, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE setups (
    key TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    build TEXT NOT NULL REFERENCES builds (key),
    state TEXT NOT NULL,
    stamps TEXT NOT NULL
) STRICT;

CREATE TABLE tests (
    key TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    measures TEXT NOT NULL,
    metric TEXT NOT NULL,
    unit TEXT NOT NULL,
    direction TEXT NOT NULL,
    stresses TEXT NOT NULL,
    scene TEXT NOT NULL,
    version TEXT NOT NULL,
    settings TEXT NOT NULL,
    "group" TEXT NOT NULL,
    also TEXT NOT NULL,
    locked_fps REAL,
    free_length INTEGER NOT NULL,
    minutes REAL
) STRICT;

CREATE TABLE layouts (
    fingerprint TEXT PRIMARY KEY, kind TEXT NOT NULL, name TEXT NOT NULL
) STRICT;

CREATE TABLE layout_columns (
    layout TEXT NOT NULL REFERENCES layouts (fingerprint),
    position INTEGER NOT NULL,
    header TEXT NOT NULL,
    role TEXT NOT NULL,
    unit TEXT NOT NULL,
    about TEXT NOT NULL,
    PRIMARY KEY (layout, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE headers (
    header TEXT NOT NULL,
    kind TEXT NOT NULL,
    layout TEXT NOT NULL REFERENCES layouts (fingerprint),
    PRIMARY KEY (header, kind)
) STRICT, WITHOUT ROWID;

CREATE TABLE studies (
    key TEXT PRIMARY KEY,
    title TEXT NOT NULL,
    question TEXT NOT NULL,
    audience TEXT NOT NULL,
    budget TEXT NOT NULL,
    margin REAL NOT NULL,
    boot_allowance REAL NOT NULL,
    ambient_low_c REAL,
    ambient_high_c REAL
) STRICT;

CREATE TABLE study_setups (
    study TEXT NOT NULL REFERENCES studies (key),
    position INTEGER NOT NULL,
    setup TEXT NOT NULL REFERENCES setups (key),
    PRIMARY KEY (study, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE study_tests (
    study TEXT NOT NULL REFERENCES studies (key),
    position INTEGER NOT NULL,
    test TEXT NOT NULL REFERENCES tests (key),
    weight REAL,
    PRIMARY KEY (study, position)
) STRICT, WITHOUT ROWID;
"""

MEASUREMENTS = """
CREATE TABLE originals (
    digest TEXT PRIMARY KEY, raw_bytes INTEGER NOT NULL, packed BLOB NOT NULL
) STRICT;

CREATE TABLE original_names (
    digest TEXT NOT NULL REFERENCES originals (digest),
    name TEXT NOT NULL,
    PRIMARY KEY (digest, name)
) STRICT, WITHOUT ROWID;

CREATE TABLE runs (
    id TEXT PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    test TEXT NOT NULL REFERENCES tests (key),
    setup TEXT NOT NULL REFERENCES setups (key),
    label TEXT NOT NULL,
    log TEXT REFERENCES originals (digest),
    log_layout TEXT REFERENCES layouts (fingerprint),
    sensors TEXT REFERENCES originals (digest),
    sensor_layout TEXT REFERENCES layouts (fingerprint),
    score REAL,
    score_row TEXT,
    boot TEXT,
    "order" INTEGER,
    started_at TEXT,
    duration_s REAL,
    ambient_c REAL,
    wall_w REAL,
    stamps TEXT NOT NULL
) STRICT;
CREATE INDEX runs_by_label ON runs (label);

CREATE TABLE study_runs (
    id INTEGER PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    run TEXT NOT NULL REFERENCES runs (id),
    named INTEGER NOT NULL,
    UNIQUE (study, run)
) STRICT;
CREATE INDEX studies_of_a_run ON study_runs (run);

CREATE TABLE traces (
    run TEXT PRIMARY KEY REFERENCES runs (id), packed BLOB NOT NULL
) STRICT;

CREATE TABLE measured (
    run TEXT PRIMARY KEY REFERENCES runs (id), code_version TEXT NOT NULL, at TEXT NOT NULL
) STRICT;

CREATE TABLE metrics (
    run TEXT NOT NULL REFERENCES measured (run),
    key TEXT NOT NULL,
    value REAL,
    low REAL,
    high REAL,
    absent TEXT,
    PRIMARY KEY (run, key)
) STRICT, WITHOUT ROWID;
"""

JUDGEMENTS = """
CREATE TABLE triaged (
    run TEXT PRIMARY KEY REFERENCES runs (id), code_version TEXT NOT NULL, at TEXT NOT NULL
) STRICT;

CREATE TABLE faults (
    run TEXT NOT NULL REFERENCES triaged (run),
    position INTEGER NOT NULL,
    kind TEXT NOT NULL,
    title TEXT NOT NULL,
    severity TEXT NOT NULL,
    evidence TEXT NOT NULL,
    todo TEXT NOT NULL,
    numbers TEXT NOT NULL,
    places TEXT NOT NULL,
    siblings TEXT NOT NULL,
    behaviour INTEGER NOT NULL,
    PRIMARY KEY (run, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE decisions (
    id INTEGER PRIMARY KEY,
    run TEXT NOT NULL REFERENCES runs (id),
    at TEXT NOT NULL,
    state TEXT NOT NULL,
    reason TEXT,
    note TEXT NOT NULL,
    over TEXT NOT NULL,
    masked INTEGER NOT NULL,
    grounds TEXT NOT NULL
) STRICT;
CREATE INDEX decisions_of_a_run ON decisions (run);

CREATE TABLE results (
    id INTEGER PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    code_version TEXT NOT NULL,
    input_hash TEXT NOT NULL,
    body TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX results_of_a_study ON results (study, input_hash);

CREATE TABLE history (
    id INTEGER PRIMARY KEY,
    "table" TEXT NOT NULL,
    key TEXT NOT NULL,
    before TEXT,
    after TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX history_of_a_record ON history ("table", key);
"""

# What stands in these tables is evidence: the file itself refuses to change or forget it.
_FIRST_APPEND_ONLY = ("originals", "original_names", "decisions", "results", "history")
_BENCH_APPEND_ONLY = (
    "plans", "bench_notes", "arrivals", "placings", "attachments", "devices", "device_ends"
)  # fmt: skip
_WATCH_APPEND_ONLY = ("watches", "watched_files")
APPEND_ONLY = (*_FIRST_APPEND_ONLY, "forgotten", *_BENCH_APPEND_ONLY, *_WATCH_APPEND_ONLY)


def guard(table: str, verb: str) -> str:
    """A trigger that refuses this verb on a table."""
    words = f"{table} are only ever added to" if table != "history" else "history is only ever added to"
    return (
        f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{words}'); END;\n"
    )


VERBS = ("UPDATE", "DELETE")

GUARDS = "".join(guard(table, verb) for table in _FIRST_APPEND_ONLY for verb in VERBS)

FIRST = FACTS + MEASUREMENTS + JUDGEMENTS + GUARDS

LEARNING = """
CREATE TABLE judged (
    study TEXT NOT NULL REFERENCES studies (key),
    test TEXT NOT NULL REFERENCES tests (key),
    digest TEXT NOT NULL,
    PRIMARY KEY (study, test)
) STRICT, WITHOUT ROWID;

CREATE TABLE lessons (
    study TEXT NOT NULL REFERENCES studies (key),
    test TEXT NOT NULL REFERENCES tests (key),
    runs INTEGER NOT NULL,
    figures TEXT NOT NULL,
    code_version TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (study, test)
) STRICT, WITHOUT ROWID;

CREATE TABLE forgotten (
    id INTEGER PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    test TEXT NOT NULL REFERENCES tests (key),
    counts INTEGER NOT NULL,
    at TEXT NOT NULL
) STRICT;
""" + "".join(guard("forgotten", verb) for verb in VERBS)

SEALS = """
CREATE TABLE seals (
    "table" TEXT NOT NULL,
    key TEXT NOT NULL,
    digest TEXT NOT NULL,
    PRIMARY KEY ("table", key)
) STRICT, WITHOUT ROWID;
"""

SCRIPTS = """
ALTER TABLE tests ADD COLUMN script TEXT;
"""

WINDOWS = """
ALTER TABLE tests ADD COLUMN window TEXT;
ALTER TABLE runs ADD COLUMN window TEXT;
"""

BENCH = """
CREATE TABLE plans (
    id INTEGER PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    seed INTEGER NOT NULL,
    looks TEXT NOT NULL,
    slots TEXT NOT NULL,
    note TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX plans_of_a_study ON plans (study);

CREATE TABLE bench_notes (
    id INTEGER PRIMARY KEY,
    plan INTEGER NOT NULL REFERENCES plans (id),
    slot INTEGER NOT NULL,
    key TEXT NOT NULL,
    value TEXT NOT NULL,
    by TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX bench_notes_of_a_plan ON bench_notes (plan, slot);

CREATE TABLE arrivals (
    id INTEGER PRIMARY KEY,
    digest TEXT NOT NULL REFERENCES originals (digest),
    name TEXT NOT NULL,
    by TEXT NOT NULL,
    about TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX arrivals_of_bytes ON arrivals (digest);

CREATE TABLE placings (
    id INTEGER PRIMARY KEY,
    arrival INTEGER NOT NULL REFERENCES arrivals (id),
    study TEXT REFERENCES studies (key),
    run TEXT REFERENCES runs (id),
    plan INTEGER REFERENCES plans (id),
    slot INTEGER,
    away INTEGER NOT NULL,
    note TEXT NOT NULL,
    by TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX placings_of_an_arrival ON placings (arrival);
CREATE INDEX placings_of_a_plan ON placings (plan, slot);

CREATE TABLE attachments (
    id INTEGER PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    digest TEXT NOT NULL REFERENCES originals (digest),
    name TEXT NOT NULL,
    media TEXT NOT NULL,
    plan INTEGER REFERENCES plans (id),
    slot INTEGER,
    run TEXT REFERENCES runs (id),
    by TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX attachments_of_a_study ON attachments (study);

CREATE TABLE devices (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    scope TEXT NOT NULL,
    build TEXT REFERENCES builds (key),
    token_hash TEXT NOT NULL,
    made_at TEXT NOT NULL
) STRICT;

CREATE TABLE device_ends (
    device TEXT PRIMARY KEY REFERENCES devices (id), at TEXT NOT NULL
) STRICT;
""" + "".join(guard(table, verb) for table in _BENCH_APPEND_ONLY for verb in VERBS)

WATCHES = """
CREATE TABLE watches (
    id INTEGER PRIMARY KEY,
    study TEXT REFERENCES studies (key),
    folder TEXT,
    by TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;

CREATE TABLE watched_files (
    id INTEGER PRIMARY KEY,
    watch INTEGER NOT NULL REFERENCES watches (id),
    path TEXT NOT NULL,
    bytes INTEGER NOT NULL,
    changed_ns INTEGER NOT NULL,
    arrival INTEGER REFERENCES arrivals (id),
    note TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX files_of_a_watch ON watched_files (watch, path);
""" + "".join(guard(table, verb) for table in _WATCH_APPEND_ONLY for verb in VERBS)
