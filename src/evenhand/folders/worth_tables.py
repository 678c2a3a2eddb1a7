"""The tables of a study file on whom it is for, what builds cost and how they sound."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Annotated

from pydantic import AwareDatetime, BeforeValidator, Field, StringConstraints
from pydantic_core import PydanticCustomError

from evenhand.folders.table import Key, Positive, RoomTemperature, Table, Words
from evenhand.records.audiences import Property


def _written(given: object) -> object:
    """An amount as text: a whole number may stand without quotes."""
    if isinstance(given, float):
        said = {
            "found": f"{given:g} is a number with decimals",
            "todo": f'write it in quotes, as in "{given:.2f}"',
        }
        raise PydanticCustomError("amount", "{found}", said)
    return str(given) if isinstance(given, int) and not isinstance(given, bool) else given


Weight = Annotated[float, Field(ge=0)]
Level = Annotated[float, Field(ge=0, le=150)]
Amount = Annotated[Words, BeforeValidator(_written)]


def _both(given: object) -> object:
    """One value stands for both ends of a span."""
    return given if isinstance(given, list) else [given, given]


Hours = Annotated[float, Field(gt=0, le=8784)]
HoursSpan = Annotated[list[Hours], Field(min_length=2, max_length=2), BeforeValidator(_both)]
AmountSpan = Annotated[list[Amount], Field(min_length=2, max_length=2), BeforeValidator(_both)]
Day = Annotated[dt.date, Field(strict=True)]


class CurrencyTable(Table):
    """currency = {...}: what prices are written in."""

    symbol: Annotated[str, StringConstraints(min_length=1, max_length=8, pattern=r"^[^\d\s.,]+$")]
    decimals: Annotated[int, Field(ge=0, le=4)] = 2


class AudienceTable(Table):
    """[[study.audiences]]: who buys, and what counts for them."""

    key: Key
    name: Words
    told: str = ""
    groups: Mapping[Words, Weight] = Field(default_factory=dict)
    tests: Mapping[Key, Weight] = Field(default_factory=dict)
    properties: Mapping[Annotated[Property, Field(strict=False)], Weight] = Field(
        default_factory=lambda: {Property.SPEED: 1.0}
    )
    fixed: Amount | None = None
    hours_a_year: HoursSpan | None = None
    tariff: AmountSpan | None = None


class PriceTable(Table):
    """[[prices]]: what a build cost on a day."""

    build: Key
    price: Amount
    on: Day
    currency: CurrencyTable | None = None
    note: str = ""


class SoundTable(Table):
    """[[sound]]: one reading of a sound level meter beside a setup."""

    setup: Key
    level_db: Level
    background_db: Level | None = None
    test: Key | None = None
    distance_m: Positive | None = None
    weighting: Words = "A"
    temperatures_c: Mapping[Words, Annotated[float, Field(ge=-40, le=150)]] = Field(default_factory=dict)
    room_c: RoomTemperature | None = None
    at: AwareDatetime | None = None
    note: str = ""
