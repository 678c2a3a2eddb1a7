"""The Saltmarsh example, made on this workbench with its progress shown."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse

from evenhand.desk.example import has_example, make_example
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.work import Watch, works_of

router = APIRouter(include_in_schema=False, prefix="/example")

NAME = "example"


@router.post("")
def make(request: Request, site: Here) -> RedirectResponse:
    """Begins to make it, or shows the one that is there."""

    def job(watch: Watch) -> str:
        return make_example(site.wb, now=site.now(), watch=watch)

    works_of(request).begin(NAME, job)
    return RedirectResponse("/example", status_code=303)


@router.get("")
def progress(request: Request, site: Here) -> HTMLResponse:
    """How far it is; once it is there, the way to it."""
    work = works_of(request).of(NAME)
    return show(request, "example.html", work=work, there=has_example(site.wb))


@router.post("/stop")
def stop(request: Request) -> RedirectResponse:
    """Stops it at its next step."""
    work = works_of(request).of(NAME)
    if work is not None:
        work.end()
    return RedirectResponse("/example", status_code=303)
