"""On the tuning page: trials and limits taken back and put back, and a trial that runs asked to stop."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Depends, Path, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from evenhand.desk.pages.frame import address
from evenhand.desk.pages.tuning import Looked, tuning_page
from evenhand.desk.pages.tuning_address import part_address
from evenhand.desk.tuning.noting import put_back_limit, put_back_trial, take_back_limit, take_back_trial
from evenhand.web.forms import Form, Sent, typed
from evenhand.web.hidden import study_in_sight
from evenhand.web.pages.brief import Editing
from evenhand.web.pages.tuning import drawn, of_study
from evenhand.web.running import given_up, running_here, stopped, stopped_here
from evenhand.web.showing import show
from evenhand.web.site import By, Here

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/tuning", dependencies=[Depends(study_in_sight)]
)

Number = Annotated[int, Path(ge=1, le=2**62)]

# By what stands in an address: what is done, the part of the page that is its form, what is told afterwards.
TURNS = {
    ("trials", "take-back"): (take_back_trial, "back-trial", "back"),
    ("trials", "put-back"): (put_back_trial, "put-trial", "put"),
    ("limits", "take-back"): (take_back_limit, "back-limit", "gone"),
    ("limits", "put-back"): (put_back_limit, "put-limit", "again"),
}


@router.post("/{things}/{number}/{way}")
def turn(
    request: Request,
    site: Here,
    study: str,
    things: Annotated[str, Path(pattern="^(trials|limits)$")],
    number: Number,
    way: Annotated[str, Path(pattern="^(take|put)-back$")],
    sent: Sent,
) -> Response:
    """Takes a trial or a limit back or puts it back, or asks for the reason where none was written."""
    act, part, just = TURNS[things, way]
    own, reason = of_study(site, study, sent), typed(sent, "reason")
    if reason:
        act(site.wb, own.setup, own.part, number, reason, now=site.now())
        return RedirectResponse(f"{part_address(study, own, just=f'{just}-{number}')}#done", status_code=303)
    page = tuning_page(site.wb, study, Looked(of=typed(sent, "of")))
    errors = {"reason": "It is not said why: say it in a few words."}
    form = Form(name="back", values={"reason": ""}, errors=errors, start="reason")
    return drawn(request, page, Editing(part=f"{part}-{number}", form=form))


@router.get("/running")
def running(request: Request, site: Here, study: str, of: str = "") -> HTMLResponse:
    """The trials that run, by themselves: this part of the page asks for it every few seconds."""
    found = running_here(request, site, study)
    return show(
        request, "running.html", running=found, at=address(study, "tuning"), of=of,
        stopped_lately=stopped_here(site, study),
    )  # fmt: skip


@router.post("/stop")
def stop(request: Request, site: Here, study: str, sent: Sent, by: By) -> Response:
    """Asks that a trial be ended."""
    return stopped(request, site, study, sent, by=by, there=seen_from(study, sent))


@router.post("/give-up")
def give_up(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """A trial of which no record will come is told as running no more."""
    return given_up(request, site, study, sent, there=seen_from(study, sent))


def seen_from(study: str, sent: FormData) -> str:
    """The page with the part in view that was."""
    of = typed(sent, "of")
    return f"{address(study, 'tuning')}?of={quote(of)}" if of else address(study, "tuning")
