"""What was dropped and takes its time: how far it is, what came of it, and the columns it waits for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from evenhand.desk.bench.confirming import confirm_said
from evenhand.desk.logs.bringing import Bringing
from evenhand.desk.logs.staging import place_of
from evenhand.desk.pages.drop import brought_page
from evenhand.desk.pages.inbox import KINDS, ROLES
from evenhand.errors import BadRecord, EvenhandError
from evenhand.web.column_fields import columns_said
from evenhand.web.dropping import Visit, Visiting, begun, told
from evenhand.web.drops import Dropping, Drops, begin, work_of
from evenhand.web.forms import Sent, typed
from evenhand.web.showing import show

router = APIRouter(prefix="/drop", include_in_schema=False)


@router.post("/{number}/begin")
def bring(visit: Visiting, drops: Dropping, number: str) -> Response:
    """Brings in what was sent, once all of it is here; once more where it was stopped."""
    try:
        about = drops.about.get(number) or Bringing(name="", by=visit.by, now=visit.site.now())
        begin(visit.request, visit.site, number, replace(about, now=visit.site.now()))
    except EvenhandError as trouble:
        return told(visit, trouble)
    return begun(visit, number)


@router.post("/{number}/stop")
def stop(request: Request, number: str) -> RedirectResponse:
    """Stops it at its next step."""
    work = work_of(request, number)
    if work is not None:
        work.end()
    return RedirectResponse(f"/drop/{number}", status_code=303)


@router.get("/{number}")
def progress(visit: Visiting, drops: Dropping, number: str) -> Response:
    """How far it is; once it is here, what came of it."""
    return page_of(visit, drops, number)


@router.post("/{number}/columns")
def confirm(visit: Visiting, drops: Dropping, number: str, sent: Sent) -> Response:
    """Remembers what the columns of one header are; after the last one the study comes in once more."""
    brought, at = drops.brought.get(number), typed(sent, "question")
    asked = {str(n): each for n, each in enumerate(brought.questions)} if brought else {}
    if brought is None or at not in asked:
        return RedirectResponse(f"/drop/{number}", status_code=303)  # somebody has answered it meanwhile
    try:
        kind, columns = columns_said(sent)
        confirm_said(visit.site.wb, asked[at], kind, columns, now=visit.site.now())
    except BadRecord as trouble:
        wrong = Wrong(at=int(at), words=str(trouble), sent=dict(sent.items()))
        return page_of(visit, drops, number, wrong=wrong)
    open_still = tuple(each for n, each in asked.items() if n != at)
    drops.keep(number, replace(brought, questions=open_still))
    return RedirectResponse(f"/drop/{number}", status_code=303) if open_still else bring(visit, drops, number)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """Columns that cannot be so: of which header, why, and what was typed."""

    at: int
    words: str
    sent: Mapping[str, object]


def page_of(visit: Visit, drops: Drops, number: str, *, wrong: Wrong | None = None) -> Response:
    """The page about what was dropped. Raises NotFound where nothing was, or it is long brought in."""
    work, brought = work_of(visit.request, number), drops.brought.get(number)
    if brought is None and work is None:
        place_of(visit.site.wb, number)
    return show(
        visit.request,
        "brought.html",
        status=422 if wrong else 200,
        number=number,
        work=work,
        page=brought_page(brought) if brought is not None else None,
        kinds=KINDS,
        roles=ROLES,
        wrong_at=wrong.at if wrong else None,
        wrong=wrong.words if wrong else "",
        sent=wrong.sent if wrong else {},
    )
