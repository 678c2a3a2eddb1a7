"""Which part made the difference, as far as the setups on record can tell."""

from __future__ import annotations

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from evenhand.desk.pages.causes import causes_page
from evenhand.web.hidden import study_in_sight
from evenhand.web.pages.compare import here
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/causes", dependencies=[Depends(study_in_sight)]
)


@router.get("")
def causes(request: Request, site: Here, study: str, pair: str = "") -> HTMLResponse:
    """What each part does in each test, what changed together, and which swap would tell it apart."""
    return show(request, "causes.html", page=causes_page(site.wb, study, pair), here=here(request))
