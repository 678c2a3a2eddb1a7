"""Tables of the photos of builds: what was kept, and all that was ever said of each."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

PHOTOS_APPEND_ONLY = ("build_photos", "build_photo_words")

PHOTOS = """
CREATE TABLE build_photos (
    id INTEGER PRIMARY KEY,
    build TEXT NOT NULL REFERENCES builds (key),
    digest TEXT NOT NULL REFERENCES originals (digest),
    name TEXT NOT NULL,
    media TEXT NOT NULL,
    "by" TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX photos_of_a_build ON build_photos (build);

CREATE TABLE build_photo_words (
    id INTEGER PRIMARY KEY,
    photo INTEGER NOT NULL REFERENCES build_photos (id),
    alt TEXT NOT NULL,
    caption TEXT NOT NULL,
    taken_on TEXT,
    away INTEGER NOT NULL,
    "by" TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX words_of_a_photo ON build_photo_words (photo);
""" + "".join(guard(table, verb) for table in PHOTOS_APPEND_ONLY for verb in VERBS)
