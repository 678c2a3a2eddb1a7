"""The inbox: say of a file what its columns are and which run it is, or put it away, and bring it back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData

from evenhand.desk.bench.confirming import confirm_sensors, file_as, layout_said
from evenhand.desk.bench.matching import Proposal
from evenhand.desk.bench.placing import bring_back, put_away
from evenhand.desk.logs.alike import land_alike, waiting_for_columns
from evenhand.desk.pages.inbox import KINDS, ROLES, inbox_page
from evenhand.errors import BadLog, BadRecord, EvenhandError
from evenhand.records.layouts import Layout, LogKind
from evenhand.web.column_fields import columns_said
from evenhand.web.forms import Reader, Sent, typed
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import By, Here
from evenhand.web.trouble import status_of
from evenhand.web.work import Watch, works_of

router = APIRouter(prefix="/inbox", include_in_schema=False)

ALIKE = "alike"
NUMBERS = {"ambient_c": "°C", "wall_w": "W", "score": "", "order": ""}


@router.get("")
def inbox(request: Request, site: Here, done: int | None = None, alike: int | None = None) -> Response:
    """What waits. `done` is the file that was just dealt with, `alike` one whose columns others shared."""
    return page_of(request, site, done=done, alike=done if alike is None else alike)


@router.post("/{number}/file")
def file(request: Request, site: Here, by: By, number: int, sent: Sent) -> Response:
    """Files what waits as the run that was chosen, or learns the columns of a sensor log."""
    try:
        layout = layout_of(site, number, sent)
        if layout is not None and layout.kind is LogKind.SENSORS:
            confirm_sensors(site.wb, number, layout, by=by, now=site.now())
        else:
            file_as(site.wb, number, chosen(sent), facts=facts_of(sent), layout=layout, by=by, now=site.now())
        if layout is not None:
            file_alike(request, site, by, after=number)
    except (BadLog, BadRecord) as trouble:
        return page_of(request, site, status=status_of(trouble), trouble=(number, trouble), sent=sent)
    return back(number)


def file_alike(request: Request, site: Site, by: str, *, after: int) -> None:
    """Files beside the pages what else had waited for these columns, where it is sure which run it is.

    What came of it is told beside the file `after` which it was done, and not on every later visit.
    """

    def job(watch: Watch) -> str:
        return f"{after} {land_alike(site.wb, by=by, now=site.now(), watch=watch)}"

    if waiting_for_columns(site.wb):
        works_of(request).begin(ALIKE, job)


@router.post("/alike/stop")
def stop_alike(request: Request) -> RedirectResponse:
    """Stops filing at the next file."""
    work = works_of(request).of(ALIKE)
    if work is not None:
        work.end()
    return RedirectResponse("/inbox", status_code=303)


@router.post("/{number}/away")
def away(site: Here, by: By, number: int, sent: Sent) -> Response:
    """Puts a file away."""
    put_away(site.wb, number, note=typed(sent, "note")[:400], by=by, now=site.now())
    return back(number)


@router.post("/{number}/back")
def bring(site: Here, by: By, number: int) -> Response:
    """Brings a file back that was put away."""
    bring_back(site.wb, number, by=by, now=site.now())
    return back(number)


def back(number: int) -> RedirectResponse:
    """To the inbox, with what was just done on top of it."""
    return RedirectResponse(f"/inbox?done={number}", status_code=303)


def page_of(
    request: Request,
    site: Site,
    *,
    status: int = 200,
    done: int | None = None,
    alike: int | None = None,
    trouble: tuple[int, EvenhandError] | None = None,
    sent: FormData | None = None,
) -> Response:
    """The page; with `trouble` what is wrong stands at the file it is about, and what was typed stays."""
    work = works_of(request).of(ALIKE)
    after, _, filed = (work.result if work else "").partition(" ")
    return show(
        request,
        "inbox.html",
        status=status,
        page=inbox_page(site.wb, done=done, clock=site.clock),
        work=work,
        asked=alike,
        filed_alike=int(filed) if filed and after == str(alike) else 0,
        kinds=KINDS,
        roles=ROLES,
        trouble_at=trouble[0] if trouble else None,
        trouble=trouble[1] if trouble else None,
        sent=dict(sent.items()) if sent is not None else {},
    )


def chosen(sent: FormData) -> Proposal:
    """The test and setup that were chosen. Raises BadRecord where they are of two studies, or one lacks."""
    test_study, _, test = typed(sent, "test").partition("/")
    setup_study, _, setup = typed(sent, "setup").partition("/")
    if not test or not setup:
        lacks = " and ".join(kind for kind, key in (("test", test), ("setup", setup)) if not key)
        raise BadRecord(f"nobody has said its {lacks}", todo=f"choose the {lacks}")
    if test_study != setup_study:
        raise BadRecord("the test and the setup are of two studies", todo="choose both from one study")
    return Proposal(study=test_study, test=test, setup=setup)


def facts_of(sent: FormData) -> Mapping[str, Any]:
    """What was typed about the run. Raises BadRecord where a number is none."""
    reader = Reader(sent)
    texts = {key: reader.words(key) for key in ("label", "boot")}
    numbers = {key: reader.number(key, unit) for key, unit in NUMBERS.items()}
    if reader.errors:
        raise BadRecord(" ".join(reader.errors.values()), todo="correct it and file again")
    found = {key: value for key, value in {**texts, **numbers}.items() if value is not None}
    if "order" in found and not float(found["order"]).is_integer():
        raise BadRecord("the place in the order is no whole number", todo="write it as in 12")
    return {**found, **({"order": int(found["order"])} if "order" in found else {})}


def layout_of(site: Site, number: int, sent: FormData) -> Layout | None:
    """The columns as they were said; None where the form showed none, or they are as confirmed before."""
    if "columns" not in sent or ("confirmed" in sent and "otherwise" not in sent):
        return None
    kind, columns = columns_said(sent)
    return layout_said(site.wb, number, kind, columns)
