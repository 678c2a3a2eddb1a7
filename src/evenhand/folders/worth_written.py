"""Audiences, prices and sound readings as tables of a study file."""

from __future__ import annotations

from typing import Any

from evenhand.records.amounts import plain_amount, plain_fine
from evenhand.records.audiences import Audience
from evenhand.records.prices import Currency, Price
from evenhand.records.sound import SoundReading

_Table = dict[str, Any]


def currency_table(currency: Currency) -> _Table:
    """A currency."""
    return {"symbol": currency.symbol, "decimals": currency.decimals}


def audience_table(audience: Audience, currency: Currency | None) -> _Table:
    """An audience; its fixed costs in the study's currency."""
    fixed = audience.fixed_minor and currency and plain_amount(audience.fixed_minor, currency)
    told = {
        "told": audience.told,
        "groups": dict(audience.groups),
        "tests": dict(audience.tests),
        "properties": {p.value: weight for p, weight in audience.properties.items()},
        "fixed": fixed,
        "hours_a_year": _span(audience.hours_a_year),
        "tariff": currency
        and audience.tariff_minor
        and _span(tuple(plain_fine(each, currency) for each in audience.tariff_minor)),
    }
    return {"key": audience.key, "name": audience.name, **{key: each for key, each in told.items() if each}}


def _span(ends: tuple[Any, ...] | None) -> Any:
    """Both ends; one value where they are the same."""
    return None if ends is None else ends[0] if ends[0] == ends[1] else list(ends)


def price_table(price: Price, currency: Currency | None) -> _Table:
    """A price; its currency is said where it is not the study's."""
    told = {"build": price.build, "price": plain_amount(price.minor, price.currency), "on": price.on}
    other = {} if price.currency == currency else {"currency": currency_table(price.currency)}
    return told | other | ({"note": price.note} if price.note else {})


def sound_table(reading: SoundReading) -> _Table:
    """One reading."""
    told: _Table = {
        "setup": reading.setup,
        "test": reading.test or None,
        "level_db": reading.level_db,
        "background_db": reading.background_db,
        "distance_m": reading.distance_m,
        "weighting": reading.weighting,
        "temperatures_c": dict(reading.temperatures_c) or None,
        "room_c": reading.room_c,
        "at": reading.at,
        "note": reading.note or None,
    }
    return {key: value for key, value in told.items() if value is not None}
