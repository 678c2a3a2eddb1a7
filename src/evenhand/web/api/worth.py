"""What the builds of a study cost and how its setups sound, for programs; audiences are in its own table."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Body, Path
from pydantic import BaseModel, ConfigDict

from evenhand.desk.study import listening, quoting
from evenhand.desk.study.shapes import schema_of, table
from evenhand.desk.study.worth_answers import price_answer, prices_answer, reading_answer
from evenhand.web.site import Here

router = APIRouter(prefix="/api/studies/{study}", tags=["Prices and sound"])

Number = Annotated[int, Path(ge=1, le=2**62)]
Given = Annotated[Any, Body()]  # looked at by the desk, in its own words
UNKNOWN: dict[int | str, dict[str, Any]] = {404: {"description": "There is no such study, price or reading."}}
REFUSED: dict[int | str, dict[str, Any]] = {
    **UNKNOWN,
    422: {"description": "A field cannot be used; `where` names it."},
}


class Shape(BaseModel):
    """What all answers share."""

    model_config = ConfigDict(extra="forbid")


class Currency(Shape):
    """How a currency is written, and how many decimals its smallest unit has."""

    symbol: str
    decimals: int


class Price(Shape):
    """What a complete build costs on a day: as text, and in whole smallest units of its currency."""

    id: int
    build: str
    price: str
    minor: int
    currency: Currency
    on: str
    note: str


class SumOfParts(Price):
    """The price of a build of which the sum of its parts counts: it is on record by its parts alone."""

    id: None  # type: ignore[assignment]


class Prices(Shape):
    """Every price of a study's builds, by build the one that counts, and the builds without one.

    `sums` are what counts of builds by the offers of their parts. `to_come` are the numbers of prices of a
    day that is still to come, which do not count yet.
    """

    study: str
    currency: Currency | None
    prices: list[Price]
    counts: dict[str, int]
    sums: list[SumOfParts]
    to_come: list[int]
    unpriced: list[str]


class Reading(Shape):
    """What a sound level meter read beside a setup; `test` is null where it idled."""

    id: int
    setup: str
    test: str | None
    level_db: float
    background_db: float | None
    distance_m: float | None
    weighting: str
    temperatures_c: dict[str, float]
    room_c: float | None
    at: str | None
    note: str


class Readings(Shape):
    """Every reading beside the setups of a study."""

    study: str
    readings: list[Reading]


def _body(of: str) -> dict[str, Any]:
    schema = schema_of(of)
    if of == "prices":
        said = "It is right, though far from the last price."
        schema["properties"]["sure"] = {"type": "boolean", "description": said}
    return {"requestBody": {"required": True, "content": {"application/json": {"schema": schema}}}}


@router.get("/prices", responses=UNKNOWN)
def prices(site: Here, study: str) -> Prices:
    """What the builds of the study cost, and did; those that were taken back left out."""
    return Prices.model_validate(prices_answer(study, quoting.prices_told(site.wb, study)))


@router.post("/prices", responses=REFUSED, openapi_extra=_body("prices"))
def add_price(site: Here, study: str, given: Given = None) -> Price:
    """Puts a price on record, by default today's; the very same again is the one on record."""
    now = site.now()
    sent = dict(table(given, ""))
    sure = sent.pop("sure", False) is True
    kept = quoting.add_study_price(site.wb, study, sent, now=now, today=now.astimezone().date(), sure=sure)
    return Price.model_validate(price_answer(kept))


@router.delete("/prices/{number}", responses=UNKNOWN)
def take_back_price(site: Here, study: str, number: Number) -> Price:
    """A price that was a mistake counts no more; it stays on record, and `POST …/back` adds it again."""
    return Price.model_validate(price_answer(quoting.take_back(site.wb, study, number, now=site.now())))


@router.post("/prices/{number}/back", responses=UNKNOWN)
def put_back_price(site: Here, study: str, number: Number) -> Price:
    """The same price again, where it was taken back; with a number of its own."""
    return Price.model_validate(price_answer(quoting.put_back(site.wb, study, number, now=site.now())))


@router.get("/sound", responses=UNKNOWN)
def readings(site: Here, study: str) -> Readings:
    """What sound level meters read beside the setups of the study."""
    every = listening.readings_told(site.wb, study)
    return Readings.model_validate({"study": study, "readings": [reading_answer(each) for each in every]})


@router.post("/sound", responses=REFUSED, openapi_extra=_body("sound"))
def add_reading(site: Here, study: str, given: Given = None) -> Reading:
    """Puts a reading on record; the same numbers again are another reading."""
    kept = listening.add_reading(site.wb, study, table(given, ""), now=site.now())
    return Reading.model_validate(reading_answer(kept))


@router.delete("/sound/{number}", responses=UNKNOWN)
def take_back_reading(site: Here, study: str, number: Number) -> Reading:
    """A reading that was a mistake counts no more; it stays on record, and `POST …/back` adds it again."""
    return Reading.model_validate(reading_answer(listening.take_back(site.wb, study, number, now=site.now())))


@router.post("/sound/{number}/back", responses=UNKNOWN)
def put_back_reading(site: Here, study: str, number: Number) -> Reading:
    """The same reading again, where it was taken back; with a number of its own."""
    return Reading.model_validate(reading_answer(listening.put_back(site.wb, study, number, now=site.now())))
