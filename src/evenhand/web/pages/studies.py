"""Start a study, and take back the last change of one."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from evenhand.desk.pages.frame import address, framed
from evenhand.desk.study.briefing import drafted_study, start_study
from evenhand.desk.study.on_shelf import study_called
from evenhand.desk.study.undoing import undo_change
from evenhand.errors import BadRecord
from evenhand.web.answers import back_to, by_htmx, only_looking
from evenhand.web.forms import NOWHERE, Form, Sent, typed
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.study_fields import filled_form, read_new

router = APIRouter(include_in_schema=False)

NEW = "/studies/new"
PAGES = ("brief", "builds", "money")


@router.get(NEW)
def new(request: Request) -> HTMLResponse:
    """The question, and the smallest difference that matters."""
    form = Form(name="new", values={"margin": "3"}, check=f"{NEW}?check=1", start="question")
    return show(request, "new_study.html", form=form)


@router.post(NEW)
def start(request: Request, site: Here, sent: Sent) -> Response:
    """Starts the study, or only looks at it while it is being filled in."""
    reading, check = read_new(sent), only_looking(request)
    problems = () if reading.errors else drafted_study(site.wb, reading.given).problems
    form = filled_form("new", reading, problems, check=f"{NEW}?check=1")
    if check or form.errors:
        status = 200 if by_htmx(request) or not form.errors else 422
        form = replace(form, start=NOWHERE) if check else form
        return show(request, "new_study.html", status=status, form=form)
    kept = start_study(site.wb, reading.given, now=site.now())
    return RedirectResponse(address(kept.key, "brief"), status_code=303)


@router.get("/studies/{study}")
def lead_on(site: Here, study: str) -> RedirectResponse:
    """A study's bare address leads to what is next in it."""
    return RedirectResponse(framed(site.wb, study, "brief").frame.strip.address, status_code=303)


@router.post("/studies/{study}/undo")
def undo(site: Here, study: str, sent: Sent) -> Response:
    """Puts back what one change replaced, and goes back to the page on which it was made."""
    number, page = typed(sent, "change"), typed(sent, "page")
    study_called(site.wb, study)
    if not (number.isascii() and number.isdigit() and len(number) < 19) or page not in PAGES:
        raise BadRecord("it is not said which change is to be undone", todo="go back and choose it again")
    kept = undo_change(site.wb, int(number), now=site.now())
    return back_to(address(study, page), done=kept.change)
