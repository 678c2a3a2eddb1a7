"""Tables of what goes out: scripts, disclosures, publications and their files."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

PUBLICATIONS_APPEND_ONLY = ("scripts", "disclosures", "imprints", "publications", "publication_files")

FORMS = """
ALTER TABLE imprints ADD COLUMN numbers TEXT;
ALTER TABLE imprints ADD COLUMN days TEXT;
"""

PUBLICATIONS = """
CREATE TABLE scripts (
    id INTEGER PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    text TEXT NOT NULL,
    "by" TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX scripts_of_a_study ON scripts (study);

CREATE TABLE disclosures (
    id INTEGER PRIMARY KEY,
    part TEXT NOT NULL REFERENCES parts (key),
    how TEXT NOT NULL,
    "by" TEXT NOT NULL,
    note TEXT NOT NULL,
    stands INTEGER NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX disclosures_of_a_part ON disclosures (part);

CREATE TABLE imprints (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    licence TEXT NOT NULL,
    place TEXT NOT NULL,
    accent TEXT NOT NULL,
    mark TEXT REFERENCES originals (digest),
    typeface TEXT REFERENCES originals (digest),
    words_a_minute INTEGER NOT NULL,
    links TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;

CREATE TABLE publications (
    id INTEGER PRIMARY KEY,
    study TEXT NOT NULL REFERENCES studies (key),
    number INTEGER NOT NULL,
    reason TEXT NOT NULL,
    code_version TEXT NOT NULL,
    input_hash TEXT NOT NULL,
    body TEXT NOT NULL,
    "by" TEXT NOT NULL,
    at TEXT NOT NULL,
    UNIQUE (study, number)
) STRICT;

CREATE TABLE publication_files (
    publication INTEGER NOT NULL REFERENCES publications (id),
    path TEXT NOT NULL,
    digest TEXT NOT NULL REFERENCES originals (digest),
    PRIMARY KEY (publication, path)
) STRICT, WITHOUT ROWID;
""" + "".join(guard(table, verb) for table in PUBLICATIONS_APPEND_ONLY for verb in VERBS)
