"""Audiences, prices and sound readings for programs: the same keys on the command line and over HTTP."""

from __future__ import annotations

from typing import Any

from evenhand.desk.study.for_whom import as_given, audience_called
from evenhand.desk.study.quoting import Prices
from evenhand.folders.worth_written import currency_table
from evenhand.publish.worth_words import rescaled_words
from evenhand.records.amounts import plain_amount
from evenhand.records.audiences import Audience
from evenhand.records.prices import Currency, Price
from evenhand.records.sound import SoundReading
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

SILENT: dict[str, Any] = {
    "told": "",
    "groups": {},
    "tests": {},
    "fixed": None,
    "hours_a_year": None,
    "tariff": None,
}


def currency_answer(currency: Currency | None) -> dict[str, Any] | None:
    """A currency."""
    return None if currency is None else currency_table(currency)


def price_answer(price: Price) -> dict[str, Any]:
    """One price."""
    return {
        "id": price.id,
        "build": price.build,
        "price": plain_amount(price.minor, price.currency),
        "minor": price.minor,
        "currency": currency_table(price.currency),
        "on": price.on.isoformat(),
        "note": price.note,
    }


def prices_answer(study: str, told: Prices) -> dict[str, Any]:
    """Every price of a study's builds, and which of them counts."""
    return {
        "study": study,
        "currency": currency_answer(told.currency),
        "prices": [price_answer(price) for price in told.every],
        "counts": dict(told.counts),
        "sums": [price_answer(price) | {"id": None} for price in told.now.values() if not price.id],
        "to_come": sorted(told.to_come),
        "unpriced": [build.key for build in told.builds if build.key not in told.now],
    }


def reading_answer(reading: SoundReading) -> dict[str, Any]:
    """One reading."""
    return {
        "id": reading.id,
        "setup": reading.setup,
        "test": reading.test or None,
        "level_db": reading.level_db,
        "background_db": reading.background_db,
        "distance_m": reading.distance_m,
        "weighting": reading.weighting,
        "temperatures_c": dict(reading.temperatures_c),
        "room_c": reading.room_c,
        "at": None if reading.at is None else reading.at.isoformat(),
        "note": reading.note,
    }


def audience_answer(wb: Workbench, study: str, key: str, change: int) -> dict[str, Any]:
    """An audience as it stands; null where the study has none of this key any more."""
    record = shelves.one(wb, Study, study)
    there = any(each.key == key for each in record.audiences)
    return {
        "study": study,
        "key": key,
        "change": change,
        "audience": {**SILENT, **as_given(record, key)} if there else None,
        "shares": shares(audience_called(record, key)) if there else {},
        "rescaled": rescaled(audience_called(record, key)) if there else {},
    }


def rescaled(audience: Audience) -> dict[str, str]:
    """By list, in words, that its weights were rescaled to shares; nothing where they add up to 1 or 100."""
    told = {
        "tests": rescaled_words({**audience.groups, **audience.tests}),
        "properties": rescaled_words({key.value: weight for key, weight in audience.properties.items()}),
    }
    return {name: words for name, words in told.items() if words}


def shares(audience: Audience) -> dict[str, dict[str, float]]:
    """What each weight says as a share of its sum: groups and tests together, properties by themselves."""
    weighed = sum((*audience.groups.values(), *audience.tests.values()))
    asked = sum(audience.properties.values())
    return {
        "groups": {key: weight / weighed for key, weight in audience.groups.items()},
        "tests": {key: weight / weighed for key, weight in audience.tests.items()},
        "properties": {key.value: weight / asked for key, weight in audience.properties.items()},
    }
