"""Facts of parts: only ever added to; of one fact of a part the last that was written down stands."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from evenhand.errors import BadRecord
from evenhand.records.part_facts import PartFact
from evenhand.store.rows import Row, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_LAST = "id IN (SELECT max(id) FROM part_facts GROUP BY part, fact)"


def add_facts(wb: Workbench, facts: Iterable[PartFact], *, at: datetime) -> tuple[PartFact, ...]:
    """Puts facts on record, all or none; those that say what stands already are passed over.

    Raises BadRecord where a part is not on record, or no source is named.
    """
    wanted = tuple(facts)
    with wb.writing() as conn:
        standing = {(f.part, f.fact): f for f in facts_of(wb, {fact.part for fact in wanted})}
        added = []
        for fact in wanted:
            before = standing.get((fact.part, fact.fact))
            if before is not None and replace(before, id=fact.id) == fact:
                continue
            added.append(replace(fact, id=_add(conn, fact, at)))
            standing[fact.part, fact.fact] = added[-1]
    return tuple(added)


def _add(conn: sqlite3.Connection, fact: PartFact, at: datetime) -> int:
    if not fact.source.strip():
        raise BadRecord(
            f"{fact.fact} of {fact.part} says not where it is from",
            where="a fact of a part",
            todo="name its source: the maker's page, a ruler, a receipt",
        )
    row: Row = {
        "part": fact.part,
        "fact": fact.fact,
        "value": None if fact.value is None else as_text(fact.value),
        "source": fact.source,
        "on": fact.on.isoformat(),
        "at": at.isoformat(),
    }
    number = insert(conn, "part_facts", row)
    seal(conn, "part_facts", number)
    return number


def facts_of(wb: Workbench, parts: Iterable[str], *, ever: bool = False) -> tuple[PartFact, ...]:
    """The facts of these parts that stand, in order of arrival; with `ever` all there ever were, too."""
    which = "1" if ever else _LAST
    with wb.reading() as conn:
        rows = conn.execute(
            f"SELECT * FROM part_facts WHERE part IN (SELECT value FROM json_each(?)) AND {which} "  # noqa: S608
            "ORDER BY id",
            (as_text(tuple(parts)),),
        )
        return tuple(map(fact_from, rows))


def fact_from(row: sqlite3.Row) -> PartFact:
    """The fact that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"fact {row['id']} of a part"):
        return PartFact(
            id=row["id"],
            part=row["part"],
            fact=row["fact"],
            value=None if row["value"] is None else json.loads(row["value"]),
            source=row["source"],
            on=date.fromisoformat(row["on"]),
        )
