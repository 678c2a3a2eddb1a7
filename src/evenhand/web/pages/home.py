"""Every study on the workbench, or what to do first."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from evenhand.web.first import first_page
from evenhand.web.site import Here

router = APIRouter(include_in_schema=False)


@router.get("/")
def home(request: Request, site: Here) -> HTMLResponse:
    """The studies, each with what stands and what is next."""
    return first_page(request, site)
