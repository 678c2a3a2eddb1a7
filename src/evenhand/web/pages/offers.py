"""Offers of parts and exchange rates on the builds page: taken back, and put back."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from evenhand.desk.parts.offering import put_back_offer, take_back_offer
from evenhand.desk.parts.rating import put_back_rate, take_back_rate
from evenhand.records.offers import Offer
from evenhand.web.pages.worth import Number, told
from evenhand.web.site import Here

router = APIRouter(prefix="/studies/{study}/builds", include_in_schema=False)


@router.post("/offers/{number}/take-back")
def take_back(site: Here, study: str, number: Number) -> Response:
    """An offer counts no more."""
    return at_part(study, take_back_offer(site.wb, number, now=site.now()))


@router.post("/offers/{number}/put-back")
def put_back(site: Here, study: str, number: Number) -> Response:
    """The same offer again."""
    return at_part(study, put_back_offer(site.wb, number, now=site.now()))


@router.post("/rates/{number}/take-back")
def take_rate_back(site: Here, study: str, number: Number) -> Response:
    """A rate counts no more."""
    return told(study, f"rate-{take_back_rate(site.wb, number, now=site.now()).id}")


@router.post("/rates/{number}/put-back")
def put_rate_back(site: Here, study: str, number: Number) -> Response:
    """The same rate again."""
    return told(study, f"rate-{put_back_rate(site.wb, number, now=site.now()).id}")


def at_part(study: str, offer: Offer) -> Response:
    """Back to the part, which tells what was done with its offer."""
    return told(study, f"offer-{offer.id}", edit=f"offer-{offer.part}")
