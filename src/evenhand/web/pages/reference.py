"""The interface for programs, described: a page that asks nobody else for anything."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from evenhand.web.showing import show

router = APIRouter(include_in_schema=False)


@router.get("/api")
def reference(request: Request) -> HTMLResponse:
    """What programs may ask, to be read and tried."""
    return show(request, "reference.html")
