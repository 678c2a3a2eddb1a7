"""What a study file says of offers and rates: read as written, or refused with every reason."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from tests.folders.test_reading import read, refused
from tests.folders.test_worth import with_money

from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate

CROWN, DRELL = Currency(symbol="cr"), Currency(symbol="dl", decimals=0)
PART = """
[[parts]]
key = "k6"
kind = "processor"
name = "Brellow K6"
"""
OFFER = """
[[offers]]
part = "k6"
item = 310
shipping = "9"
coupon = "20"
on = 2031-05-04
"""
ABROAD = """
[[offers]]
part = "k6"
item = "1.120,00"
tax = "0.00"
currency = { symbol = "cr", decimals = 2 }
seller = "used"
in_stock = false
on = 2031-05-01
"""
RATE = """
[[rates]]
of = { symbol = "cr", decimals = 2 }
into = { symbol = "dl", decimals = 0 }
rate = "2.450"
on = 2031-05-04
"""


def test_offers_and_rates_are_read_as_written() -> None:
    found = read(with_money(PART + OFFER + ABROAD + RATE))
    near = Offer(
        part="k6", item_minor=310, shipping_minor=9, coupon_minor=20, currency=DRELL, on=date(2031, 5, 4)
    )
    far = Offer(
        part="k6", item_minor=112000, currency=CROWN, on=date(2031, 5, 1), seller=Seller.USED, in_stock=False
    )
    assert found.offers == (near, far)
    assert found.rates == (Rate(of=CROWN, into=DRELL, rate=Decimal("2.450"), on=date(2031, 5, 4)),)


@pytest.mark.parametrize(
    ("was", "becomes", "told"),
    [
        ('part = "k6"', 'part = "k7"', "'k7' is not a part of this file; known: k6"),
        ("item = 310", "item = 0", "'0' is no amount"),
        ("item = 310", "item = 3.5", "write it in quotes"),
        ("item = 310", 'item = "-310"', "'-310' is no amount"),
        ('shipping = "9"', 'shipping = "9.5"', "dl has no decimals"),
        ('coupon = "20"', 'coupon = "319"', "a coupon of 319 leaves 0 to pay"),
        ("on = 2031-05-04", 'seller = "friend"\non = 2031-05-04', "'seller' is 'friend'"),
    ],
)
def test_what_is_no_offer_is_refused_at_its_line(was: str, becomes: str, told: str) -> None:
    assert told in refused(with_money(PART + OFFER.replace(was, becomes)))


@pytest.mark.parametrize(
    ("was", "becomes", "told"),
    [
        ('symbol = "dl", decimals = 0 }\nrate', 'symbol = "cr", decimals = 2 }\nrate', "of cr into itself"),
        ('"2.450"', '"0.0"', "a rate of 0 changes nothing"),
        ('"2.450"', '"-2"', "'-2' is no rate"),
        ('"2.450"', "2.45", "write it in quotes"),
    ],
)
def test_what_is_no_rate_is_refused(was: str, becomes: str, told: str) -> None:
    assert told in refused(with_money(RATE.replace(was, becomes)))
