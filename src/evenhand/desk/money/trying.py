"""What programs try on in place of what is on record: spans as text, such as 900..1500."""

from __future__ import annotations

import math

from evenhand.desk.money.basis import Tried
from evenhand.errors import BadRecord
from evenhand.records.money_terms import Span
from evenhand.records.prices import Currency

MOST_HOURS, MOST_YEARS, MOST_TARIFF = 8784.0, 20.0, 1e6
LEAST_YEARS = 0.1


def tried_from(currency: Currency | None, *, hours: str = "", tariff: str = "", years: str = "") -> Tried:
    """Hours a year and what a kilowatt-hour costs, each from and to or one number, and years; "" for none.

    Raises BadRecord for what cannot be tried on.
    """
    paid = _span(tariff, "tariff", 0.0, MOST_TARIFF)
    unit = 1 if currency is None else 10**currency.decimals
    kept = _span(years, "years", LEAST_YEARS, MOST_YEARS)
    if kept is not None and kept[0] != kept[1]:
        raise _refused(years, "years", LEAST_YEARS, MOST_YEARS)
    return Tried(
        hours=_span(hours, "hours", 0.0, MOST_HOURS),
        tariff=None if paid is None else (paid[0] * unit, paid[1] * unit),
        years=None if kept is None else kept[0],
    )  # fmt: skip


def _span(text: str, where: str, low: float, high: float) -> Span | None:
    if not text.strip():
        return None
    try:
        ends = [float(each) for each in text.split("..")]
    except ValueError:
        ends = [math.nan]
    if len(ends) > 2 or not all(low <= each <= high for each in ends) or ends != sorted(ends):
        raise _refused(text, where, low, high)
    return ends[0], ends[-1]


def _refused(text: str, where: str, low: float, high: float) -> BadRecord:
    span = "" if where == "years" else ", or two with .. between, the lower one first"
    return BadRecord(
        f"'{text[:40]}' cannot be tried on", where=where,
        todo=f"give a number from {low:g} to {high:,g}{span}",
    )  # fmt: skip
