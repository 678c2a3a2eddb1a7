"""Every currency that an amount on the workbench is in."""

from __future__ import annotations

import json
from functools import lru_cache

from evenhand.records.prices import Currency
from evenhand.store.rows import legible
from evenhand.store.workbench import Workbench

_EVERY = (
    "SELECT currency FROM prices UNION SELECT currency FROM offers "
    'UNION SELECT "of" FROM rates UNION SELECT "into" FROM rates'
)


@lru_cache(maxsize=64)
def currency_from(text: str) -> Currency:
    """The currency that a cell of a table holds. Raises ValueError and TypeError where it holds none."""
    return Currency(**json.loads(text))


def currencies(wb: Workbench) -> tuple[Currency, ...]:
    """Those of prices, offers and rates, taken back or not, by symbol."""
    with wb.reading() as conn, legible("a currency"):
        told = (currency_from(row[0]) for row in conn.execute(_EVERY))
        return tuple(sorted(told, key=lambda each: (each.symbol, each.decimals)))
