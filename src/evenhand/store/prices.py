"""Prices of builds: only ever added to; one that is taken back stays on record and counts no more."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

from evenhand.errors import BadRecord, NotFound
from evenhand.records.prices import Currency, Price
from evenhand.store.rows import Row, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_STANDING = "id NOT IN (SELECT price FROM prices_taken_back)"


def add_price(wb: Workbench, price: Price, *, at: datetime) -> Price:
    """Puts a price on record; the price with its number. The very same again is the one on record.

    Raises BadRecord where its build is not on record, or it is below one minor unit.
    """
    if price.minor < 1:
        raise BadRecord(
            f"the price of {price.build} is {price.minor}", where="a price", todo="give an amount above 0"
        )
    with wb.writing() as conn:
        before = next((p for p in prices_of(wb, [price.build]) if replace(p, id=price.id) == price), None)
        if before is not None:
            return before
        row: Row = {
            "build": price.build,
            "minor": price.minor,
            "currency": as_text(price.currency),
            "on": price.on.isoformat(),
            "note": price.note,
            "at": at.isoformat(),
        }
        number = insert(conn, "prices", row)
        seal(conn, "prices", number)
    return replace(price, id=number)


def take_back_price(wb: Workbench, number: int, *, at: datetime) -> Price:
    """A price that was a mistake counts no more. Raises NotFound where none of this number counts."""
    with wb.writing() as conn:
        row = conn.execute(f"SELECT * FROM prices WHERE id = ? AND {_STANDING}", (number,)).fetchone()  # noqa: S608
        if row is None:
            raise NotFound(f"there is no price {number}", where=str(wb.path), todo="see the build's prices")
        insert(conn, "prices_taken_back", {"price": number, "at": at.isoformat()})
        seal(conn, "prices_taken_back", number)
    return price_from(row)


def prices_of(wb: Workbench, builds: Iterable[str], *, ever: bool = False) -> tuple[Price, ...]:
    """Every price of these builds that counts, the earliest day first; of one day in order of arrival.

    With `ever` those that were taken back, too.
    """
    standing = "1" if ever else _STANDING
    with wb.reading() as conn:
        rows = conn.execute(
            f'SELECT * FROM prices WHERE build IN (SELECT value FROM json_each(?)) AND {standing} '  # noqa: S608
            'ORDER BY "on", id',
            (as_text(tuple(builds)),),
        )  # fmt: skip
        return tuple(map(price_from, rows))


def before_their_day(wb: Workbench, numbers: Iterable[int]) -> frozenset[int]:
    """Those of these prices that were written down before the day they are of had begun anywhere on earth."""
    with wb.reading() as conn:
        rows = conn.execute(
            'SELECT id, "on", at FROM prices WHERE id IN (SELECT value FROM json_each(?))',
            (as_text(tuple(numbers)),),
        )
        # A day begins up to fourteen hours before it does at Greenwich.
        return frozenset(
            row["id"]
            for row in rows
            if datetime.fromisoformat(row["at"]).astimezone(UTC) + timedelta(hours=14)
            < datetime.combine(date.fromisoformat(row["on"]), time(), UTC)
        )


def price_from(row: sqlite3.Row) -> Price:
    """The price that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"price {row['id']}"):
        return Price(
            id=row["id"],
            build=row["build"],
            minor=row["minor"],
            currency=Currency(**json.loads(row["currency"])),
            on=date.fromisoformat(row["on"]),
            note=row["note"],
        )
