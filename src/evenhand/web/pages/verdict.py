"""For whom which machine, how surely, and what would flip it."""

from __future__ import annotations

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from evenhand.desk.pages.verdict import verdict_page
from evenhand.web.hidden import study_in_sight
from evenhand.web.pages.compare import here
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/verdict", dependencies=[Depends(study_in_sight)]
)


@router.get("")
def verdict(request: Request, site: Here, study: str, pair: str = "", audience: str = "") -> HTMLResponse:
    """The verdict on one pair for every audience, one of them looked at closely."""
    page = verdict_page(site.wb, study, pair=pair, audience=audience)
    return show(request, "verdict.html", page=page, here=here(request))
