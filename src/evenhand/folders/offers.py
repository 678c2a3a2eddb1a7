"""Offers and exchange rates of a study file into records and back, and what is wrong with them."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from decimal import Decimal
from typing import Any

from evenhand.errors import BadRecord, nearest
from evenhand.folders.lines import Path
from evenhand.folders.offer_tables import OfferTable, RateTable
from evenhand.folders.problems import Problem
from evenhand.folders.worth import amount_problems, currency_of
from evenhand.folders.worth_written import currency_table
from evenhand.records.amounts import minor_of, plain_amount
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate

EXTRAS = ("shipping", "tax", "coupon")
_NOTHING = re.compile(r"0+(?:[.,]0*)?")
_RATE = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,12})?")


def extra_minor(written: str | None, currency: Currency) -> int:
    """What comes on top or off: nothing where nothing or 0 is written. Raises BadRecord as `minor_of`.

    >>> crown = Currency(symbol="cr")
    >>> extra_minor("4.90", crown), extra_minor("0.00 cr", crown), extra_minor("", crown)
    (490, 0, 0)
    """
    bare = (written or "").replace(currency.symbol, " ").strip()
    return minor_of(bare, currency) if bare and not _NOTHING.fullmatch(bare) else 0


def offer_of(table: OfferTable, currency: Currency | None) -> Offer | None:
    """An offer in its own currency, or else the study's; None where an amount cannot be read."""
    money = currency_of(table.currency) or currency
    if money is None:
        return None
    try:
        item = minor_of(table.item, money)
        shipping, tax, coupon = (extra_minor(getattr(table, name), money) for name in EXTRAS)
    except BadRecord:
        return None
    return Offer(
        part=table.part, item_minor=item, shipping_minor=shipping, tax_minor=tax, coupon_minor=coupon,
        currency=money, on=table.on, seller=table.seller, in_stock=table.in_stock, note=table.note,
    )  # fmt: skip


def offer_problems(
    table: OfferTable, at: int, *, currency: Currency | None, parts: Collection[str]
) -> Iterator[Problem]:
    """Whether an offer is one, of a part that exists, and comes to something."""
    place: Path = ("offers", at)
    if table.part not in parts:
        todo = nearest(table.part, parts) if parts else "no part is declared"
        yield Problem(path=(*place, "part"), found=f"'{table.part}' is not a part of this file", todo=todo)
    money = currency_of(table.currency) or currency
    yield from amount_problems(table.item, money, (*place, "item"))
    for name in EXTRAS if money is not None else ():
        yield from _extra_problems(getattr(table, name), money, (*place, name))
    offer = offer_of(table, currency)
    if offer is not None and offer.total_minor < 1:
        off, rest = (plain_amount(n, offer.currency) for n in (offer.coupon_minor, offer.total_minor))
        yield Problem(
            path=(*place, "coupon"),
            found=f"a coupon of {off} leaves {rest} to pay",
            todo="write what it takes off, less than all the rest",
        )


def _extra_problems(written: str | None, currency: Currency | None, path: Path) -> Iterator[Problem]:
    try:
        if currency is not None:
            extra_minor(written, currency)
    except BadRecord as wrong:
        yield Problem(path=path, found=wrong.found, todo=wrong.todo)


def rate_said(written: str) -> Decimal:
    """A rate as it was written, digit by digit. Raises BadRecord for what is none, and for 0.

    >>> rate_said("2.450"), rate_said("0,4")
    (Decimal('2.450'), Decimal('0.4'))
    """
    bare = "".join(written.split())
    if not _RATE.fullmatch(bare):
        raise BadRecord(
            f"'{written.strip()}' is no rate", where="an exchange rate", todo="write it in digits, as in 2.45"
        )
    rate = Decimal(bare.replace(",", "."))
    if not rate:
        raise BadRecord("a rate of 0 changes nothing", where="an exchange rate", todo="give a rate above 0")
    return rate


def rate_of(table: RateTable) -> Rate | None:
    """A rate; None where it cannot be read."""
    try:
        rate = rate_said(table.rate)
    except BadRecord:
        return None
    of, into = currency_of(table.of), currency_of(table.into)
    if of is None or into is None or of.symbol == into.symbol:
        return None
    return Rate(of=of, into=into, rate=rate, on=table.on, note=table.note)


def rate_problems(table: RateTable, at: int) -> Iterator[Problem]:
    """Whether a rate is one, between two currencies."""
    if table.of.symbol == table.into.symbol:
        yield Problem(
            path=("rates", at, "into"),
            found=f"this is a rate of {table.of.symbol} into itself",
            todo="name the other currency",
        )
    try:
        rate_said(table.rate)
    except BadRecord as wrong:
        yield Problem(path=("rates", at, "rate"), found=wrong.found, todo=wrong.todo)


def offer_table(offer: Offer, currency: Currency | None) -> dict[str, Any]:
    """An offer as a table; what is silent means nothing on top, a shop, in stock, the study's currency."""
    extras = zip(EXTRAS, (offer.shipping_minor, offer.tax_minor, offer.coupon_minor), strict=True)
    told: dict[str, Any] = {
        "part": offer.part,
        "item": plain_amount(offer.item_minor, offer.currency),
        **{name: plain_amount(minor, offer.currency) for name, minor in extras if minor},
        "on": offer.on,
    }
    if offer.currency != currency:
        told["currency"] = currency_table(offer.currency)
    if offer.seller is not Seller.SHOP:
        told["seller"] = offer.seller.value
    if not offer.in_stock:
        told["in_stock"] = False
    return told | ({"note": offer.note} if offer.note else {})


def rate_table(rate: Rate) -> dict[str, Any]:
    """A rate as a table."""
    told = {
        "of": currency_table(rate.of),
        "into": currency_table(rate.into),
        "rate": f"{rate.rate:f}",
        "on": rate.on,
    }
    return told | ({"note": rate.note} if rate.note else {})
