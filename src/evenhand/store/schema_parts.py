"""Tables of what is known of parts, what they were offered for, and what currencies are worth."""

from __future__ import annotations

from evenhand.store.schema import VERBS, guard

PARTS_APPEND_ONLY = ("part_facts", "offers", "offers_taken_back", "rates", "rates_taken_back")

PARTS = """
ALTER TABLE studies ADD COLUMN money TEXT;

CREATE TABLE part_facts (
    id INTEGER PRIMARY KEY,
    part TEXT NOT NULL REFERENCES parts (key),
    fact TEXT NOT NULL,
    value TEXT,
    source TEXT NOT NULL,
    "on" TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX facts_of_a_part ON part_facts (part, fact);

CREATE TABLE offers (
    id INTEGER PRIMARY KEY,
    part TEXT NOT NULL REFERENCES parts (key),
    item_minor INTEGER NOT NULL,
    shipping_minor INTEGER NOT NULL,
    tax_minor INTEGER NOT NULL,
    coupon_minor INTEGER NOT NULL,
    currency TEXT NOT NULL,
    seller TEXT NOT NULL,
    in_stock INTEGER NOT NULL,
    "on" TEXT NOT NULL,
    note TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;
CREATE INDEX offers_of_a_part ON offers (part, "on");

CREATE TABLE offers_taken_back (offer INTEGER PRIMARY KEY REFERENCES offers (id), at TEXT NOT NULL) STRICT;

CREATE TABLE rates (
    id INTEGER PRIMARY KEY,
    "of" TEXT NOT NULL,
    "into" TEXT NOT NULL,
    rate TEXT NOT NULL,
    "on" TEXT NOT NULL,
    note TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT;

CREATE TABLE rates_taken_back (rate INTEGER PRIMARY KEY REFERENCES rates (id), at TEXT NOT NULL) STRICT;
""" + "".join(guard(table, verb) for table in PARTS_APPEND_ONLY for verb in VERBS)
