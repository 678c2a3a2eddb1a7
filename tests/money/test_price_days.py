"""A part's price by whole days: what is usual, and how a price stands."""

from __future__ import annotations

from datetime import date, timedelta
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.money.price_days import FEWEST_DAYS, Stand, by_day, standing, usual
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency

DRELL, CROWN = Currency(symbol="dl", decimals=0), Currency(symbol="cr")
DAY = date(2031, 5, 4)
amounts = st.integers(min_value=1, max_value=10**7)


def offer(minor: int, *, ago: int = 0, seller: Seller = Seller.SHOP, in_stock: bool = True) -> Offer:
    return Offer(
        part="osk-9",
        item_minor=minor,
        currency=DRELL,
        on=DAY - timedelta(days=ago),
        seller=seller,
        in_stock=in_stock,
    )


def run_of(*prices: int) -> dict[date, int]:
    """So many days up to the day, the last price on it."""
    return {DAY - timedelta(days=ago): price for ago, price in enumerate(reversed(prices))}


def test_a_day_costs_what_its_cheapest_offer_in_stock_does() -> None:
    offers = [offer(410), offer(399), offer(380, in_stock=False), offer(405, ago=1)]
    assert by_day(offers, currency=DRELL) == {DAY - timedelta(days=1): 405, DAY: 399}


def test_other_currencies_and_sellers_are_left_out() -> None:
    offers = [offer(410), offer(300, seller=Seller.USED)]
    assert by_day(offers, currency=CROWN) == {}
    assert by_day(offers, currency=DRELL, sellers=frozenset({Seller.SHOP})) == {DAY: 410}


@given(item=amounts, shipping=amounts, tax=amounts, coupon=amounts)
def test_a_total_is_whole_and_exact(item: int, shipping: int, tax: int, coupon: int) -> None:
    made = Offer(
        part="osk-9",
        item_minor=item,
        shipping_minor=shipping,
        tax_minor=tax,
        coupon_minor=coupon,
        currency=CROWN,
        on=DAY,
    )
    assert isinstance(made.total_minor, int)
    assert made.total_minor + coupon == item + shipping + tax


@given(prices=st.lists(amounts, min_size=1, max_size=40))
def test_the_usual_price_is_the_median_of_the_last_thirty_days_a_half_rounded_up(prices: list[int]) -> None:
    found = usual(run_of(*prices), on=DAY)
    assert found is not None
    last = prices[-30:]
    assert found.days == len(last)
    assert 0 <= found.minor - median(last) <= 0.5
    assert isinstance(found.minor, int)


def test_nothing_is_usual_where_it_was_never_in_stock_lately() -> None:
    assert usual({DAY - timedelta(days=30): 400}, on=DAY) is None
    assert usual({DAY - timedelta(days=29): 400}, on=DAY) is not None


@pytest.mark.parametrize(
    ("price", "stand"),
    [
        (399, Stand.LOW),
        (401, Stand.LOW),
        (402, Stand.USUAL),
        (405, Stand.USUAL),
        (406, Stand.HIGH),
        (409, Stand.HIGH),
    ],
)
def test_a_price_stands_among_the_days_before_it(price: int, stand: Stand) -> None:
    found = standing(price, run_of(*range(400, 408), price), on=DAY)
    assert (found.stand, found.days, found.least, found.most) == (stand, 8, 400, 407)


def test_few_days_say_nothing_of_a_price() -> None:
    found = standing(300, run_of(*[400] * (FEWEST_DAYS - 1), 300), on=DAY)
    assert found.stand is Stand.UNKNOWN


@given(prices=st.lists(amounts, min_size=FEWEST_DAYS, max_size=80), price=amounts)
def test_low_and_high_are_a_quarter_each_at_most(prices: list[int], price: int) -> None:
    found = standing(price, run_of(*prices, price), on=DAY)
    below, above = sum(p < price for p in prices), sum(p > price for p in prices)
    assert found.lower == below
    assert (found.stand is Stand.LOW) == (above >= 0.75 * len(prices))
    assert (found.stand is Stand.HIGH) == (below >= 0.75 * len(prices))
