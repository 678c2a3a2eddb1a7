"""What an offer is held against before it is kept: currencies, rates, what such a part usually costs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from evenhand.desk.parts.currencies import known_currencies
from evenhand.desk.parts.price_days import part_days
from evenhand.money.exchange import exchanged, rate_for
from evenhand.money.price_days import median
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import number
from evenhand.records.builds import Part
from evenhand.records.offers import Offer
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.store import rates as rate_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

ABSURD = 20
"""So many times what a part usually costs, or so small a share of it, is asked about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What an offer is held against: all parts by key, the currencies known, `currency` first, and rates.

    `usual` is the median over a part's days in `currency`; `kinds` the least and the greatest of these by
    kind, for a part that has none yet.
    """

    parts: Mapping[str, Part]
    currency: Currency | None
    currencies: tuple[Currency, ...]
    rates: tuple[Rate, ...] = ()
    usual: Mapping[str, int] = field(default_factory=dict)
    kinds: Mapping[str, tuple[int, int]] = field(default_factory=dict)


def beside_of(wb: Workbench, parts: Iterable[str], currency: Currency | None) -> Beside:
    """What offers of these parts are held against."""
    every = {part.key: part for part in shelves.every(wb, Part)}
    wanted = [every[key] for key in parts if key in every]
    usual = usual_prices(wb, (part.key for part in wanted), currency)
    new = {part.kind for part in wanted if part.key not in usual}
    peers = usual_prices(wb, (part.key for part in every.values() if part.kind in new), currency)
    kinds = {
        kind: (min(own), max(own))
        for kind in new
        if (own := [minor for key, minor in peers.items() if every[key].kind == kind])
    }
    return Beside(
        parts=every,
        currency=currency,
        currencies=known_currencies(wb, currency),
        rates=rate_store.rates(wb),
        usual=usual,
        kinds=kinds,
    )


def usual_prices(wb: Workbench, parts: Iterable[str], currency: Currency | None) -> dict[str, int]:
    """The median over each part's days, by part; those without any are left out."""
    if currency is None:
        return {}
    found = part_days(wb, tuple(parts), currency)
    return {key: median(each.days.values()) for key, each in found.items() if each.days}


def asked_about(offer: Offer, beside: Beside) -> str:
    """That an amount is far from what the part or its kind usually costs, as a question; else ""."""
    money = beside.currency
    minor = _in_study(offer, beside)
    if money is None or minor is None:
        return ""
    total, usual = amount(offer.total_minor, offer.currency), beside.usual.get(offer.part)
    if usual is not None:
        whose = f"the {amount(usual, money)} that this part usually costs"
        return _far(minor, usual, usual, total, (whose, whose))
    part = beside.parts.get(offer.part)
    kind = part.kind if part else ""
    if kind not in beside.kinds:
        return ""
    least, most = beside.kinds[kind]
    cheapest = f"the {amount(least, money)} of the cheapest {kind} with a price here"
    dearest = f"the {amount(most, money)} of the dearest {kind} with a price here"
    return _far(minor, least, most, total, (cheapest, dearest))


def _in_study(offer: Offer, beside: Beside) -> int | None:
    """What is paid in the study's currency; None where no rate says it."""
    money = beside.currency
    if money is None or offer.currency == money:
        return offer.total_minor
    rate = rate_for(beside.rates, offer.currency, money, on=offer.on)
    return None if rate is None else exchanged(offer.total_minor, rate, into=money)


def _far(minor: int, least: int, most: int, total: str, whose: tuple[str, str]) -> str:
    if minor > ABSURD * most:
        return f"{total} is {number(minor / most)} times {whose[1]}: is that so?"
    if minor * ABSURD < least:
        return f"{total} is less than a twentieth of {whose[0]}: is that so?"
    return ""
