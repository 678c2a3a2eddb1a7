"""Offers of parts, exchange rates and sums of prices, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction

from evenhand.money.sums import SumOfParts
from evenhand.publish.dates import day_words, days_words
from evenhand.publish.direction import isolated
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import listed, with_unit
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate

SELLERS: Mapping[Seller, str] = {
    Seller.SHOP: "a shop",
    Seller.MARKET: "a seller on a marketplace",
    Seller.USED: "somebody who sells it used",
}
CLASSES: Mapping[Seller, str] = {
    Seller.SHOP: "shop",
    Seller.MARKET: "marketplace",
    Seller.USED: "used",
}
SUM = "the sum of its parts’ offers"


def unowned_words(name: str) -> str:
    """That a part which was offered is in no build."""
    return f"No build has {isolated(name)}: its price counts in none of theirs, only where parts are chosen."


def sum_note(found: SumOfParts, on: date) -> str:
    """What a price that is a sum says of where it is from.

    >>> sum_note(SumOfParts(minor=998, oldest=date(2031, 5, 1)), date(2031, 5, 4))
    'the sum of its parts’ offers, the oldest of 1 May 2031'
    """
    oldest = "" if found.oldest == on else f", the oldest of {day_words(found.oldest)}"
    rates = f", where {listed(tuple(map(rate_words, found.rates)))}" if found.rates else ""
    return f"{SUM}{oldest}{rates}"


def offer_words(offer: Offer) -> str:
    r"""What is paid in the end, out of what, and by whom it was offered when.

    >>> crown, day = Currency(symbol="cr"), date(2031, 5, 4)
    >>> offer_words(Offer(part="osk-9", item_minor=39900, shipping_minor=490, currency=crown, on=day))
    '403.90\xa0cr (399.00\xa0cr + 4.90\xa0cr shipping), by a shop, on 4 May 2031'
    """
    stock = "" if offer.in_stock else ", out of stock"
    return f"{total_words(offer)}, by {SELLERS[offer.seller]}, on {day_words(offer.on)}{stock}"


def part_price_words(minor: int, currency: Currency, seller: Seller, on: date | None = None) -> str:
    r"""What a part cost, by which class of seller, and when; no day where it is told elsewhere.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> part_price_words(192, drell, Seller.SHOP, date(2031, 5, 4)), part_price_words(9, drell, Seller.USED)
    ('192\xa0dl, shop, 4 May 2031', '9\xa0dl, used')
    """
    said = f"{amount(minor, currency)}, {CLASSES[seller]}"
    return said if on is None else f"{said}, {day_words(on)}"


def total_words(offer: Offer) -> str:
    """What is paid in the end, and out of what where that is more than the item."""
    pieces = [amount(offer.item_minor, offer.currency)]
    for minor, sign, name in (
        (offer.shipping_minor, "+", "shipping"),
        (offer.tax_minor, "+", "tax"),
        (offer.coupon_minor, "−", "coupon"),
    ):
        if minor:
            pieces.append(f"{sign} {amount(minor, offer.currency)} {name}")
    total = amount(offer.total_minor, offer.currency)
    return total if len(pieces) == 1 else f"{total} ({' '.join(pieces)})"


def rate_words(rate: Rate) -> str:
    r"""A rate with its day.

    >>> from decimal import Decimal
    >>> crown, drell = Currency(symbol="cr"), Currency(symbol="dl", decimals=0)
    >>> rate_words(Rate(of=crown, into=drell, rate=Decimal("2.450"), on=date(2031, 5, 4)))
    '1\xa0cr is 2.450\xa0dl, of 4 May 2031'
    """
    one, is_worth = with_unit("1", rate.of.symbol), with_unit(f"{rate.rate:f}", rate.into.symbol)
    return f"{one} is {is_worth}, of {day_words(rate.on)}"


def fraction_words(rate: Fraction) -> str:
    """A rate that was worked out, to four digits.

    >>> fraction_words(Fraction(1, 3)), fraction_words(Fraction(245, 100))
    ('0.3333', '2.45')
    """
    return f"{float(rate):.4g}"


def rateless_words(offers: Iterable[Offer], currency: Currency) -> str:
    """That offers are left out, in currencies without a rate; "" where none is."""
    own = tuple(offers)
    if not own:
        return ""
    symbols = listed(tuple(sorted({offer.currency.symbol for offer in own})))
    first = day_words(min(offer.on for offer in own))
    what = "one offer is" if len(own) == 1 else f"{len(own)} offers are"
    return (
        f"Mixed currencies without a rate: {what} left out, in {symbols}, since no rate into "
        f"{currency.symbol} of {first} or before it is on record."
    )


def rates_used_words(rates: Iterable[Rate]) -> str:
    """By which rates amounts were changed, as a sentence; "" where none was."""
    told = dict.fromkeys(map(rate_words, sorted(rates, key=lambda rate: (rate.on, rate.id))))
    return f"Changed by the rate of its day or the last before it: {'; '.join(told)}." if told else ""


def early_words(offers: Iterable[Offer]) -> str:
    """That offers do not count yet since nobody can have seen them; "" where there are none."""
    own = tuple(offers)
    if not own:
        return ""
    days = days_words(offer.on for offer in own)
    if len(own) == 1:
        return f"One offer is of {days}, which is still to come: it counts from then on."
    return f"{len(own)} offers are of {days}, which are still to come: they count from then on."


def used_words(offers: Iterable[Offer]) -> str:
    """That used ones are listed and make no price beside new ones; "" where there are none."""
    n = len(tuple(offers))
    if not n:
        return ""
    said = "One offer of a used one is" if n == 1 else f"{n} offers of used ones are"
    return f"{said} listed and not counted: a used price is no price of a new part."
