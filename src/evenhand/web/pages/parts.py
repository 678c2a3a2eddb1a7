"""The catalogue of parts under a study's builds, and a part's page with all that is known of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from evenhand.desk.pages.frame import address
from evenhand.desk.pages.parts import CataloguePage, PartPage, catalogue_page, is_lines, part_page
from evenhand.desk.parts.catalogue import add_part, drafted_part
from evenhand.desk.parts.known import PIECES
from evenhand.desk.parts.noting import kept, note_facts, undo_facts
from evenhand.desk.parts.told_by_rigs import say_part
from evenhand.errors import BadRecord, EvenhandError
from evenhand.records.part_facts import PartFact
from evenhand.web import part_fields as fields
from evenhand.web.answers import View, by_htmx, only_looking
from evenhand.web.closed_study import edit_of
from evenhand.web.forms import NOWHERE, Form, Sent, typed
from evenhand.web.pages.brief import unsaved
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.worth_fields import today_at

router = APIRouter(prefix="/studies/{study}/builds/parts", include_in_schema=False)

NEW, FACTS = "new-part", "facts"
Short = Annotated[str, Query(max_length=80)]


@router.get("")
def parts(request: Request, site: Here, study: str, view: View, kind: Short = "") -> HTMLResponse:
    """Every part of the workbench, or those of one kind."""
    page = catalogue_page(site.wb, study, kind=kind)
    edited = edit_of(site, study, view) == NEW
    form = fields.new_part_form(_new_place(study, check=True), kind) if edited else None
    return _catalogue(request, page, form)


def _new_place(study: str, *, check: bool) -> str:
    return address(study, "builds", "parts", "new") + ("?check=1" if check else "")


def _catalogue(request: Request, page: CataloguePage, form: Form | None) -> HTMLResponse:
    status = 422 if form is not None and form.errors and not by_htmx(request) else 200
    return show(request, "parts.html", status=status, page=page, form=form)


@router.post("/new")
def add(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """A part that no build has yet; one that is there already is asked about at its name."""
    given, check = fields.part_given(sent), _new_place(study, check=True)
    form = fields.part_form(sent, drafted_part(site.wb, given).problems, check=check)
    if only_looking(request):
        return _catalogue(request, catalogue_page(site.wb, study), replace(form, start=NOWHERE))
    if form.errors:
        return _catalogue(request, catalogue_page(site.wb, study), form)
    try:
        made = add_part(site.wb, given, now=site.now())
    except EvenhandError as refused:
        return _catalogue(request, catalogue_page(site.wb, study), unsaved(form, refused))
    return RedirectResponse(f"{address(study, 'builds', 'parts', made.key)}?edit={FACTS}", status_code=303)


@router.post("/told")
def say_told(site: Here, study: str, sent: Sent) -> Response:
    """Says which part one is that a rig tells of, and notes what was not known of it."""
    number, _, at = typed(sent, "told").partition("-")
    if not all(each.isascii() and each.isdigit() and len(each) < 18 for each in (number, at)):
        raise BadRecord("the form came in pieces", todo="load the page again, and send it anew")
    key = "" if typed(sent, "none") else typed(sent, "part")
    noted = say_part(site.wb, int(number), int(at), key, now=site.now(), today=today_at(site))
    place = address(study, "builds", "parts")
    if not noted:
        return RedirectResponse(f"{place}#told", status_code=303)
    return RedirectResponse(f"{place}/{key}?noted={noted[0].id}-{noted[-1].id}", status_code=303)


@router.get("/{part}")
def part(
    request: Request, site: Here, study: str, part: str, view: View, fact: Short = "", noted: Short = ""
) -> HTMLResponse:
    """One part, with its facts as a form where that is asked for, beginning at one `fact`."""
    page = part_page(site.wb, study, part, noted=noted)
    form = fields.facts_form(page, site, start=fact) if edit_of(site, study, view) == FACTS else None
    return _part(request, page, form, only=fact)


def _part(request: Request, page: PartPage, form: Form | None, *, only: str = "") -> HTMLResponse:
    status = 422 if form is not None and form.errors and not by_htmx(request) else 200
    about = {
        "field_of": fields.field_of,
        "tick_of": fields.tick_of,
        "one_of": fields.one_of,
        "written_so": fields.written_so,
        "is_lines": is_lines,
        "only": only if any(about.key == only for about in page.fields) else "",
    }
    return show(request, "part.html", status=status, page=page, form=form, **about)


@router.post("/{part}/facts")
def note(request: Request, site: Here, study: str, part: str, sent: Sent) -> Response:
    """Notes what was changed, or only looks at it while it is being filled in."""
    page = part_page(site.wb, study, part)
    read = fields.read_facts(site, page, sent, check=f"{page.here}/facts?check=1")
    if only_looking(request):
        return _part(request, page, replace(read.form, start=NOWHERE))
    if read.form.errors:
        return _part(request, page, read.form)
    try:
        noted = kept(site.wb, part, read.draft.facts, now=site.now())
    except EvenhandError as refused:
        return _part(request, page, unsaved(read.form, refused))
    return _told(page.here, noted)


@router.post("/{part}/pieces")
def count(site: Here, study: str, part: str, sent: Sent) -> Response:
    """How many of a part there are that several builds have."""
    now, given = site.now(), {PIECES: typed(sent, "pieces")}
    noted = note_facts(site.wb, part, given, source="the shelf", on="", now=now, today=today_at(site))
    return _told(address(study, "builds", "parts", part), noted)


@router.post("/{part}/facts/undo")
def undo(site: Here, study: str, part: str, sent: Sent) -> Response:
    """Notes again what stood before these facts."""
    page = part_page(site.wb, study, part, noted=typed(sent, "noted"))
    numbers = page.noted.every if page.noted else ()
    noted = undo_facts(site.wb, part, numbers, now=site.now(), today=today_at(site))
    return _told(page.here, noted)


def _told(place: str, noted: tuple[PartFact, ...]) -> Response:
    """Back to the part, which tells what was noted."""
    numbers = [fact.id for fact in noted]
    told = f"?noted={min(numbers)}-{max(numbers)}" if numbers else ""
    return RedirectResponse(f"{place}{told}", status_code=303)
