"""A part's price over time by whole days: what it cost each day, what is usual, and how a price stands.

Days are the unit, since all offers of a day move together. Between two days on which somebody looked nothing
is made up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency

USUAL_DAYS, HISTORY_DAYS = 30, 90
FEWEST_DAYS = 8  # with fewer days a quarter of them is a day or two, which says nothing

PriceDays = Mapping[date, int]


class Stand(StrEnum):
    """How a price stands among those of the days before it."""

    LOW = "low"
    USUAL = "usual"
    HIGH = "high"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """The median price of `days` days on which a part was in stock, in whole minor units."""

    minor: int
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a price stands among `days` earlier ones: on how many of them it was lower, and between which."""

    stand: Stand
    days: int
    lower: int
    least: int | None = None
    most: int | None = None


def by_day(
    offers: Iterable[Offer], *, currency: Currency, sellers: frozenset[Seller] = frozenset(Seller)
) -> dict[date, int]:
    """What a part cost on each day: the least total of that day's offers in stock, in this currency."""
    found: dict[date, int] = {}
    for each in offers:
        if each.in_stock and each.currency == currency and each.seller in sellers:
            found[each.on] = min(found.get(each.on, each.total_minor), each.total_minor)
    return dict(sorted(found.items()))


def usual(days: PriceDays, *, on: date, over: int = USUAL_DAYS) -> Usual | None:
    """The median over the days (on − over, on]; None where it was never in stock then.

    Of an even number of days the mean of the middle two, a half rounded up.

    >>> first = date(2031, 5, 1)
    >>> usual({first + timedelta(days=n): price for n, price in enumerate((400, 410, 430, 405))},
    ...       on=date(2031, 5, 4))
    Usual(minor=408, days=4)
    """
    own = [price for day, price in days.items() if on - timedelta(days=over) < day <= on]
    return Usual(minor=median(own), days=len(own)) if own else None


def median(prices: Iterable[int]) -> int:
    """The middle of one price or more; between two of them their mean, a half rounded up."""
    own = sorted(prices)
    middle = len(own) // 2
    return own[middle] if len(own) % 2 else -(-(own[middle - 1] + own[middle]) // 2)


def standing(minor: int, days: PriceDays, *, on: date, over: int = HISTORY_DAYS) -> Standing:
    """How a price stands among the days (on − over, on): low below 3 in 4 of them, high above as many.

    A price like that of another day is neither below nor above it.
    """
    own = [price for day, price in days.items() if on - timedelta(days=over) < day < on]
    lower, higher = sum(price < minor for price in own), sum(price > minor for price in own)
    if len(own) < FEWEST_DAYS:
        return Standing(stand=Stand.UNKNOWN, days=len(own), lower=lower)
    stand = Stand.USUAL
    if 4 * higher >= 3 * len(own):
        stand = Stand.LOW
    elif 4 * lower >= 3 * len(own):
        stand = Stand.HIGH
    return Standing(stand=stand, days=len(own), lower=lower, least=min(own), most=max(own))
