"""Prices of builds: only ever added to; one that is taken back stays on record and counts no more."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from evenhand.errors import BadRecord
from evenhand.records.prices import Currency, Price
from evenhand.store.rows import Row, as_text, legible
from evenhand.store.taking_back import Ledger
from evenhand.store.workbench import Workbench

PRICES = Ledger(table="prices", back="prices_taken_back", noun="price")


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
        return replace(price, id=PRICES.add(conn, row))


def take_back_price(wb: Workbench, number: int, *, at: datetime) -> Price:
    """A price that was a mistake counts no more. Raises NotFound where none of this number counts."""
    return price_from(PRICES.take_back(wb, number, at=at, todo="see the build's prices"))


def prices_of(wb: Workbench, builds: Iterable[str], *, ever: bool = False) -> tuple[Price, ...]:
    """Every price of these builds that counts, the earliest day first; of one day in order of arrival.

    With `ever` those that were taken back, too.
    """
    with wb.reading() as conn:
        rows = PRICES.rows_of(conn, "build", builds, ever=ever, order='"on", id')
    return tuple(map(price_from, rows))


def before_their_day(wb: Workbench, numbers: Iterable[int]) -> frozenset[int]:
    """Those of these prices that were written down before their day, which is still to come."""
    return PRICES.before_their_day(wb, numbers)


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
