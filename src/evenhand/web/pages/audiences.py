"""Audiences on the brief: taken out, put in order, and examples taken as they are."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from evenhand.desk.pages.frame import address
from evenhand.desk.study.for_whom import drop_audience, move_audience, take_example
from evenhand.desk.study.shelving import Kept
from evenhand.web.answers import back_to
from evenhand.web.forms import Sent, typed
from evenhand.web.site import Here

router = APIRouter(prefix="/studies/{study}/brief/audiences", include_in_schema=False)


@router.post("/{audience}/drop")
def drop(site: Here, study: str, audience: str) -> Response:
    """Takes an audience out of the study."""
    return after(study, drop_audience(site.wb, study, audience, now=site.now()))


@router.post("/{audience}/move")
def move(site: Here, study: str, audience: str, sent: Sent) -> Response:
    """Moves an audience one place up or down; where it stands at that end already, nothing changes."""
    by = -1 if typed(sent, "way") == "up" else 1
    return after(study, move_audience(site.wb, study, audience, by=by, now=site.now()))


@router.post("/example")
def example(site: Here, study: str, sent: Sent) -> Response:
    """Takes one of the examples into the study."""
    return after(study, take_example(site.wb, study, typed(sent, "example"), now=site.now()))


def after(study: str, kept: Kept) -> Response:
    """Back to the brief, which tells what was done."""
    return back_to(address(study, "brief"), done=kept.change)
