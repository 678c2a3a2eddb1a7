"""Prices and sound readings on the builds page: taken back, and put back."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import RedirectResponse, Response

from evenhand.desk.pages.frame import address
from evenhand.desk.pages.worth import PRICE, SOUND
from evenhand.desk.study import listening, quoting
from evenhand.web.site import Here

router = APIRouter(prefix="/studies/{study}/builds", include_in_schema=False)

Number = Annotated[int, Path(ge=1, le=2**62)]


@router.post("/prices/{number}/take-back")
def take_back_price(site: Here, study: str, number: Number) -> Response:
    """A price counts no more."""
    return told(study, f"{PRICE}-{quoting.take_back(site.wb, study, number, now=site.now()).id}")


@router.post("/prices/{number}/put-back")
def put_back_price(site: Here, study: str, number: Number) -> Response:
    """The same price again."""
    return told(study, f"{PRICE}-{quoting.put_back(site.wb, study, number, now=site.now()).id}")


@router.post("/sound/{number}/take-back")
def take_back_reading(site: Here, study: str, number: Number) -> Response:
    """A reading counts no more."""
    return told(study, f"{SOUND}-{listening.take_back(site.wb, study, number, now=site.now()).id}")


@router.post("/sound/{number}/put-back")
def put_back_reading(site: Here, study: str, number: Number) -> Response:
    """The same reading again."""
    return told(study, f"{SOUND}-{listening.put_back(site.wb, study, number, now=site.now()).id}")


def told(study: str, just: str, *, edit: str = "") -> Response:
    """Back to the builds, which tell what was done; with `edit` to a form that stays open."""
    more = f"edit={edit}&" if edit else ""
    return RedirectResponse(f"{address(study, 'builds')}?{more}worth={just}", status_code=303)
