"""Exchange rates: only ever added to; one that is taken back stays on record and counts no more."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal, InvalidOperation

from evenhand.errors import BadRecord, StoreProblem
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.store.rows import Row, as_text, legible
from evenhand.store.taking_back import Ledger
from evenhand.store.workbench import Workbench

RATES = Ledger(table="rates", back="rates_taken_back", noun="rate")


def add_rate(wb: Workbench, rate: Rate, *, at: datetime) -> Rate:
    """Puts a rate on record; the rate with its number. The very same again is the one on record.

    Raises BadRecord where it is 0 or less, no number, or of a currency into itself.
    """
    if not (rate.rate.is_finite() and rate.rate > 0) or rate.of.symbol == rate.into.symbol:
        raise BadRecord(
            f"{rate.rate} {rate.into.symbol} for one {rate.of.symbol} is no rate",
            where="an exchange rate",
            todo="give what one unit of another currency costs, above 0",
        )
    row: Row = {
        "of": as_text(rate.of),
        "into": as_text(rate.into),
        "rate": str(rate.rate),
        "on": rate.on.isoformat(),
        "note": rate.note,
        "at": at.isoformat(),
    }
    with wb.writing() as conn:
        before = next((r for r in rates(wb) if replace(r, id=rate.id) == rate), None)
        return before or replace(rate, id=RATES.add(conn, row))


def take_back_rate(wb: Workbench, number: int, *, at: datetime) -> Rate:
    """A rate that was a mistake counts no more. Raises NotFound where none of this number counts."""
    return rate_from(RATES.take_back(wb, number, at=at, todo="see the exchange rates"))


def rates(wb: Workbench, *, ever: bool = False) -> tuple[Rate, ...]:
    """Every rate that counts, the earliest day first; with `ever` those that were taken back, too."""
    standing = "1" if ever else RATES.standing
    with wb.reading() as conn:
        rows = conn.execute(f'SELECT * FROM rates WHERE {standing} ORDER BY "on", id')  # noqa: S608
        return tuple(map(rate_from, rows))


def rate_from(row: sqlite3.Row) -> Rate:
    """The rate that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"exchange rate {row['id']}"):
        try:
            rate = Decimal(row["rate"])
        except InvalidOperation as error:
            raise StoreProblem(
                f"exchange rate {row['id']} is no number", todo="run `evenhand check`"
            ) from error
        return Rate(
            id=row["id"],
            of=Currency(**json.loads(row["of"])),
            into=Currency(**json.loads(row["into"])),
            rate=rate,
            on=date.fromisoformat(row["on"]),
            note=row["note"],
        )
