"""What is assumed of power, on the builds page: changed by its form, and undone."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from evenhand.desk.pages.frame import address
from evenhand.desk.pages.worth import POWER
from evenhand.desk.parts.assuming import change_terms, undo_terms
from evenhand.web.answers import only_looking
from evenhand.web.forms import NOWHERE, Sent
from evenhand.web.pages.builds import Editing, drawn
from evenhand.web.pages.worth import Number, told
from evenhand.web.power_fields import power_form, power_given
from evenhand.web.site import Here

router = APIRouter(prefix="/studies/{study}/builds/power", include_in_schema=False)


@router.post("")
def assume(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Assumes other numbers of power, for every study of the workbench; each mistake at its field."""
    form = power_form(site, study, sent)
    if only_looking(request):
        return drawn(request, site, study, Editing(), power=replace(form, start=NOWHERE))
    if form.errors:
        return drawn(request, site, study, Editing(), power=form)
    return after(study, change_terms(site.wb, power_given(site, sent), now=site.now()))


@router.post("/{number}/undo")
def undo(site: Here, study: str, number: Number) -> Response:
    """Assumes again what this change replaced."""
    return after(study, undo_terms(site.wb, number, now=site.now()))


def after(study: str, number: int) -> Response:
    """Back to the builds, which tell what was changed; where nothing was, to what is assumed."""
    if not number:
        return RedirectResponse(f"{address(study, 'builds')}#assumed", status_code=303)
    return told(study, f"{POWER}-{number}")
