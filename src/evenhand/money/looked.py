"""What somebody found who looked at offers: prices by day, days out of stock, and what stands on a day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from evenhand.money.price_days import PriceDays
from evenhand.records.rates import Rate

KEPT_DAYS = 14  # so long a price that nobody looked up again stands for the days after it


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What a part or a machine cost: the least price of each day, and days on which it was out of stock.

    `rates` has the days whose least price is of another currency, with the rate it was changed by.
    """

    days: PriceDays = field(default_factory=dict)
    out: frozenset[date] = frozenset()
    rates: Mapping[date, Rate] = field(default_factory=dict)


def seen_on(looked: Looked, on: date, *, kept: int = KEPT_DAYS) -> date | None:
    """The day of the price that stands on a day; None where none does."""
    last = _last_look(looked, on, kept)
    return last if last in looked.days else None


def price_on(looked: Looked, on: date, *, kept: int = KEPT_DAYS) -> int | None:
    """The price of a day, or of the last day before it that has one, at most `kept` days ago.

    None where somebody looked since, and it was out of stock.
    """
    seen = seen_on(looked, on, kept=kept)
    return None if seen is None else looked.days[seen]


def is_out_on(looked: Looked, on: date, *, kept: int = KEPT_DAYS) -> bool:
    """Whether it was out of stock when somebody looked last, on a day or at most `kept` days before it."""
    last = _last_look(looked, on, kept)
    return last is not None and last not in looked.days


def _last_look(looked: Looked, on: date, kept: int) -> date | None:
    for ago in range(kept + 1):
        day = on - timedelta(days=ago)
        if day in looked.days or day in looked.out:
            return day
    return None
