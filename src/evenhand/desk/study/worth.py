"""Prices, offers, rates and sound readings of a study's folder onto the record."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from evenhand.records.offers import Offer
from evenhand.records.prices import Price
from evenhand.records.rates import Rate
from evenhand.records.sound import SoundReading
from evenhand.store import offers as offer_store
from evenhand.store import prices as price_store
from evenhand.store import rates as rate_store
from evenhand.store import sound as sound_store
from evenhand.store.workbench import Workbench


def take_in_prices(wb: Workbench, prices: Iterable[Price], *, now: datetime) -> None:
    """The prices that a folder brings and that were never on record: one that was taken back stays so."""
    wanted = tuple(prices)
    ever = price_store.prices_of(wb, {price.build for price in wanted}, ever=True)
    known = {replace(price, id=0) for price in ever}
    for price in wanted:
        if price not in known:
            price_store.add_price(wb, price, at=now)


def take_in_offers(wb: Workbench, offers: Iterable[Offer], *, now: datetime) -> None:
    """The offers that a folder brings and that were never on record: one that was taken back stays so."""
    wanted = tuple(offers)
    ever = offer_store.offers_of(wb, {offer.part for offer in wanted}, ever=True)
    known = {replace(offer, id=0) for offer in ever}
    offer_store.add_offers(wb, (offer for offer in wanted if offer not in known), at=now)


def take_in_rates(wb: Workbench, rates: Iterable[Rate], *, now: datetime) -> None:
    """The same of exchange rates."""
    known = {replace(rate, id=0) for rate in rate_store.rates(wb, ever=True)}
    for rate in rates:
        if rate not in known:
            rate_store.add_rate(wb, rate, at=now)


def take_in_sound(wb: Workbench, readings: Iterable[SoundReading], *, now: datetime) -> None:
    """The readings that a folder brings beyond those on record: two alike are two readings, but not four."""
    wanted = tuple(readings)
    there = sound_store.readings_of(wb, {reading.setup for reading in wanted}, ever=True)
    had = Counter(repr(replace(reading, id=0)) for reading in there)
    for reading in wanted:
        mark = repr(reading)
        if had[mark]:
            had[mark] -= 1
        else:
            sound_store.add_reading(wb, reading, at=now)
