"""Trimming: what a window of a run or of its test would change, cutting it so, and taking that back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from evenhand.desk.pages.frame import address
from evenhand.desk.pages.one_run import named_run, run_page
from evenhand.desk.pages.trim import Trim, looked_at, trim_of, typed_again
from evenhand.desk.pages.wanted_runs import Wanted
from evenhand.desk.runs.cutting import CutAsked, cut_as_asked, undo_cut
from evenhand.desk.typed_numbers import decimal
from evenhand.errors import BadRecord, EvenhandError, Overtaken
from evenhand.records.windows import Window
from evenhand.web.forms import Sent, typed
from evenhand.web.pages.runs import Visit, Visiting, whole
from evenhand.web.showing import show
from evenhand.web.site import By
from evenhand.web.trouble import status_of

router = APIRouter(include_in_schema=False, prefix="/studies/{study}/runs")

FIELDS = ("start_s", "end_s", "scope", "reason")
MOST_REASON = 400
NEEDED = "Write why this run is cut otherwise than its siblings: it stands wherever the finding is shown."


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """A form as it was read: what is asked for, or what is wrong with its fields."""

    values: Mapping[str, str]
    errors: Mapping[str, str]
    asked: CutAsked | None = None


@router.get("/{run}/window")
def look(visit: Visiting, by: By, run: str) -> HTMLResponse:
    """What the window that is typed would change; nothing is stored."""
    query = visit.request.query_params
    read = read_form({name: query.get(name, "").strip() for name in (*FIELDS, "seen")}, run=run, by=by)
    record, each = named_run(visit.site.wb, visit.study, run, masked=False)
    trim = typed_again(trim_of(visit.site.wb, record, each), read.values, errors=read.errors)
    if read.asked is not None:
        try:
            asked = replace(read.asked, run=each.run.id)
            trim = replace(trim, looked=looked_at(visit.site.wb, record, asked))
        except BadRecord as error:
            trim = replace(trim, told=f"{error.found}: {error.todo}")
    return show_trim(visit, run, trim)


@router.post("/{run}/window")
def cut(visit: Visiting, sent: Sent, by: By, run: str) -> Response:
    """Cut so, and back to the run's page with the way to undo it."""
    values = {name: typed(sent, name) for name in (*FIELDS, "seen")}
    record, each = named_run(visit.site.wb, visit.study, run, masked=False)
    read = read_form(values, run=each.run.id, by=by, must=True)
    if typed(sent, "back") == "yes":
        asked: CutAsked | None = CutAsked(
            run=each.run.id, window=None, every=each.run.window is None, seen=values["seen"]
        )
    else:
        asked = read.asked
    trim = trim_of(visit.site.wb, record, each)
    if asked is None:
        return show_trim(visit, run, typed_again(trim, read.values, errors=read.errors), status=422)
    try:
        done = cut_as_asked(visit.site.wb, asked, now=visit.site.now())
    except EvenhandError as error:
        kept = {} if isinstance(error, Overtaken) else {"seen": values["seen"]}
        told = f"{error.found}. {error.todo[:1].upper()}{error.todo[1:]}."
        again = typed_again(trim, {**read.values, **kept}, errors={}, told=told)
        return show_trim(visit, run, again, status=status_of(error))
    return back_to(visit, run, done.change)


@router.post("/{run}/window/undo")
def uncut(visit: Visiting, sent: Sent, run: str) -> Response:
    """Put back what a cut replaced."""
    done = undo_cut(visit.site.wb, whole(typed(sent, "change")), now=visit.site.now())
    return back_to(visit, run, done.change)


def read_form(values: Mapping[str, str], *, run: str, by: str, must: bool = False) -> Read:
    """What was typed, as a cut; what is not typed yet is only wrong where it `must` be there."""
    errors = {}
    start_s = decimal(values["start_s"]) if values["start_s"] else 0.0
    end_s = decimal(values["end_s"]) if values["end_s"] else None
    if start_s is None:
        errors["start_s"] = "Write the seconds as a number, as in 5.0."
    if values["end_s"] and end_s is None:
        errors["end_s"] = "Write the seconds as a number, or leave it empty for the end of the log."
    every = values["scope"] != "one"
    if must and not every and not values["reason"]:
        errors["reason"] = NEEDED
    if start_s is None or errors:
        return Read(values=values, errors=errors)
    try:
        window = Window(start_s=start_s, end_s=end_s, reason=values["reason"][:MOST_REASON], by=by)
    except BadRecord as error:
        return Read(
            values=values, errors={"start_s" if start_s < 0 else "end_s": f"{error.found}: {error.todo}."}
        )
    return Read(
        values=values, errors={}, asked=CutAsked(run=run, window=window, every=every, seen=values["seen"])
    )


def back_to(visit: Visit, run: str, number: int) -> RedirectResponse:
    """The run's page, told which change was made there just now."""
    place = address(visit.study, "runs", run) + (f"?cut={number}" if number else "")
    return RedirectResponse(place, status_code=303)


def show_trim(visit: Visit, run: str, trim: Trim, *, status: int = 200) -> HTMLResponse:
    """The run's page with its form as it was filled in."""
    page = run_page(visit.drawings, (visit.study, run), Wanted(), whole=False, clock=visit.site.clock)
    return show(visit.request, "run.html", status=status, page=page, trim=trim)
