"""The strip of a study's pages by itself, for pages that ask anew what stands and what is next."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse

from evenhand.desk.pages.frame import PAGES, framed
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(include_in_schema=False)

Page = Annotated[str, Query(pattern=f"^({'|'.join(PAGES)})$")]


@router.get("/studies/{study}/strip")
def strip(request: Request, site: Here, study: str, page: Page, at: str) -> HTMLResponse:
    """What stands now and what is next; `at` is the address of the page that asks."""
    return show(request, "strip.html", page=framed(site.wb, study, page), at=at)
