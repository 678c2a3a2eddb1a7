"""What the parts of a study were offered for, and exchange rates, for programs."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Body, Path
from pydantic import BaseModel, ConfigDict

from evenhand.desk.parts.offer_answers import offer_answer, offers_answer, offers_told, rate_answer
from evenhand.desk.parts.offering import add_offer, put_back_offer, take_back_offer
from evenhand.desk.parts.rating import add_rate, put_back_rate, rates_told, take_back_rate
from evenhand.desk.parts.said_by_programs import offer_given, rate_given
from evenhand.desk.study.on_shelf import study_called
from evenhand.desk.study.shapes import schema_of, table
from evenhand.web.api.worth import Currency
from evenhand.web.served import Site
from evenhand.web.site import Here
from evenhand.web.worth_fields import today_at

router = APIRouter(prefix="/api/studies/{study}", tags=["Offers and rates"])

Number = Annotated[int, Path(ge=1, le=2**62)]
Given = Annotated[Any, Body()]  # looked at by the desk, in its own words
UNKNOWN: dict[int | str, dict[str, Any]] = {404: {"description": "There is no such study, offer or rate."}}
REFUSED: dict[int | str, dict[str, Any]] = {
    **UNKNOWN,
    422: {"description": "A field cannot be used, or is asked about; `where` names it."},
}


class Shape(BaseModel):
    """What all answers share."""

    model_config = ConfigDict(extra="forbid")


class Offer(Shape):
    """What a part was offered for on a day: amounts as text, the total in whole smallest units, too."""

    id: int
    part: str
    item: str
    shipping: str
    tax: str
    coupon: str
    total: str
    total_minor: int
    currency: Currency
    on: str
    seller: Literal["shop", "marketplace", "used"]
    in_stock: bool
    note: str


class Usual(Shape):
    """The median of some days."""

    minor: int
    days: int


class Standing(Shape):
    """How a price stands among those of so many days before it."""

    stand: Literal["low", "usual", "high", "unknown"]
    days: int
    lower: int
    least: int | None
    most: int | None


class Past(Shape):
    """A price over time, in whole smallest units of the study's currency by day."""

    days: dict[str, int]
    usual: Usual | None
    standing: Standing | None
    words: str


class PartPast(Past):
    """The same of a part, with the numbers of its offers that count nowhere."""

    without_rate: list[int]
    to_come: list[int]
    used_beside_new: list[int]


class Offers(Shape):
    """The offers of a study's parts, and what parts and builds cost over time."""

    study: str
    currency: Currency | None
    offers: list[Offer]
    parts: dict[str, PartPast]
    builds: dict[str, Past]


class Rate(Shape):
    """What one unit of a currency is in another from a day on."""

    id: int
    of: Currency
    into: Currency
    rate: str
    on: str
    note: str


class Rates(Shape):
    """Every exchange rate that counts, by day."""

    rates: list[Rate]


def _body(of: str) -> dict[str, Any]:
    schema = schema_of(of)
    schema["properties"]["sure"] = {"type": "boolean", "description": "It is right, though far from usual."}
    return {"requestBody": {"required": True, "content": {"application/json": {"schema": schema}}}}


@router.get("/offers", responses=UNKNOWN)
def offers(site: Here, study: str) -> Offers:
    """What the parts of the study were offered for; what was taken back is left out."""
    answer = offers_answer(offers_told(site.wb, study))
    del answer["table"]
    return Offers.model_validate(answer)


@router.post("/offers", responses=REFUSED, openapi_extra=_body("offers"))
def add(site: Here, study: str, given: Given = None) -> Offer:
    """Puts an offer on record, by default today's; the very same again is the one on record."""
    sent = offer_given(table(given, ""), today=today_at(site))
    money = study_called(site.wb, study).currency
    said = add_offer(site.wb, sent, currency=money, now=site.now(), today=today_at(site))
    return Offer.model_validate(offer_answer(said.offer))


@router.delete("/offers/{number}", responses=UNKNOWN)
def take_back(site: Here, study: str, number: Number) -> Offer:
    """An offer that was a mistake counts no more; it stays on record, and `POST …/back` adds it again."""
    study_called(site.wb, study)
    return Offer.model_validate(offer_answer(take_back_offer(site.wb, number, now=site.now())))


@router.post("/offers/{number}/back", responses=UNKNOWN)
def put_back(site: Here, study: str, number: Number) -> Offer:
    """The same offer again, where it was taken back; with a number of its own."""
    study_called(site.wb, study)
    return Offer.model_validate(offer_answer(put_back_offer(site.wb, number, now=site.now())))


@router.get("/rates", responses=UNKNOWN)
def rates(site: Here, study: str) -> Rates:
    """The exchange rates on record, which all studies share."""
    study_called(site.wb, study)
    return Rates.model_validate({"rates": [rate_answer(each) for each in rates_told(site.wb)]})


@router.post("/rates", responses=REFUSED, openapi_extra=_body("rates"))
def say_rate(site: Here, study: str, given: Given = None) -> Rate:
    """Puts an exchange rate on record, by default into the study's currency and of today."""
    return Rate.model_validate(rate_answer(_said(site, study, given)))


def _said(site: Site, study: str, given: object) -> Any:
    sent = rate_given(table(given, ""), today=today_at(site))
    money = study_called(site.wb, study).currency
    kept, _ = add_rate(site.wb, sent, currency=money, now=site.now(), today=today_at(site))
    return kept


@router.delete("/rates/{number}", responses=UNKNOWN)
def take_rate_back(site: Here, study: str, number: Number) -> Rate:
    """A rate that was a mistake counts no more; it stays on record, and `POST …/back` adds it again."""
    study_called(site.wb, study)
    return Rate.model_validate(rate_answer(take_back_rate(site.wb, number, now=site.now())))


@router.post("/rates/{number}/back", responses=UNKNOWN)
def put_rate_back(site: Here, study: str, number: Number) -> Rate:
    """The same rate again, where it was taken back; with a number of its own."""
    study_called(site.wb, study)
    return Rate.model_validate(rate_answer(put_back_rate(site.wb, number, now=site.now())))
