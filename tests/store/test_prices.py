"""Prices and sound readings come back as they were; what is taken back stays on record and counts no more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from tests.store.small_study import BUILD, NOW, SETUP

from evenhand.errors import BadRecord, NotFound
from evenhand.records.prices import Currency, Price
from evenhand.records.sound import SoundReading
from evenhand.store import prices, sound
from evenhand.store.workbench import Workbench

DAY = date(2031, 5, 4)
PRICE = Price(build=BUILD.key, minor=998, currency=Currency(symbol="dl", decimals=0), on=DAY, note="counter")
READING = SoundReading(
    setup=SETUP.key, level_db=38.5, background_db=None, temperatures_c={"graphics": 71.0}, at=NOW
)


def test_prices_come_back_by_day_and_then_in_order_of_arrival(wb: Workbench) -> None:
    later = replace(PRICE, on=date(2031, 5, 9))
    same_day = replace(PRICE, minor=1002)
    for price in (later, PRICE, same_day):
        prices.add_price(wb, price, at=NOW)
    found = prices.prices_of(wb, [BUILD.key])
    assert [replace(price, id=0) for price in found] == [PRICE, same_day, later]


def test_the_very_same_price_is_the_one_on_record(wb: Workbench) -> None:
    assert prices.add_price(wb, PRICE, at=NOW) == prices.add_price(wb, PRICE, at=NOW)
    assert len(prices.prices_of(wb, [BUILD.key])) == 1


def test_a_price_taken_back_counts_no_more_and_may_be_given_again(wb: Workbench) -> None:
    first = prices.add_price(wb, PRICE, at=NOW)
    assert prices.take_back_price(wb, first.id, at=NOW) == first
    assert prices.prices_of(wb, [BUILD.key]) == ()
    assert prices.prices_of(wb, [BUILD.key], ever=True) == (first,)
    with pytest.raises(NotFound):
        prices.take_back_price(wb, first.id, at=NOW)
    assert prices.add_price(wb, PRICE, at=NOW).id != first.id


def test_a_price_of_a_day_that_had_not_begun_anywhere_is_told_apart(wb: Workbench) -> None:
    at = NOW.replace(hour=10, minute=30)  # half past midnight fourteen hours east of Greenwich
    soon, far = (replace(PRICE, on=at.date() + timedelta(days=days)) for days in (1, 2))
    numbers = [prices.add_price(wb, price, at=at).id for price in (PRICE, soon, far)]
    assert prices.before_their_day(wb, numbers) == {numbers[2]}


@pytest.mark.parametrize("wrong", [replace(PRICE, minor=0), replace(PRICE, build="nowhere")])
def test_what_is_no_price_of_a_build_is_refused(wb: Workbench, wrong: Price) -> None:
    with pytest.raises(BadRecord):
        prices.add_price(wb, wrong, at=NOW)


def test_readings_come_back_in_order_and_two_alike_are_two(wb: Workbench) -> None:
    for _ in range(2):
        sound.add_reading(wb, READING, at=NOW)
    found = sound.readings_of(wb, [SETUP.key])
    assert [replace(reading, id=0) for reading in found] == [READING, READING]
    assert sound.take_back_reading(wb, found[0].id, at=NOW) == found[0]
    assert sound.readings_of(wb, [SETUP.key]) == found[1:]
    assert sound.readings_of(wb, [SETUP.key], ever=True) == found
    with pytest.raises(NotFound):
        sound.take_back_reading(wb, found[0].id, at=NOW)
