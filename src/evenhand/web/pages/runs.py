"""Every run of a study, one run with its files, and decisions about them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Annotated
from urllib.parse import parse_qs, urlencode, urlsplit

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.one_run import named_run, run_page
from evenhand.desk.pages.runs import RunsPage, runs_page
from evenhand.desk.pages.trim import Trim, cut_now, trim_of
from evenhand.desk.pages.wanted_runs import Refused, Wanted
from evenhand.desk.runs.asking import Asked, decide_as_asked, missing_words
from evenhand.desk.runs.drawings import Drawings
from evenhand.desk.runs.run_files import original_of, trace_picture
from evenhand.errors import EvenhandError, Overtaken
from evenhand.publish.picture import Picture
from evenhand.web.forms import Sent, typed
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import By, Here
from evenhand.web.trouble import status_of

router = APIRouter(include_in_schema=False, prefix="/studies/{study}/runs")

PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:"  # its own fonts and colours


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One request about the runs of a study."""

    request: Request
    site: Site
    drawings: Drawings
    study: str


def visit_of(request: Request, site: Here, study: str) -> Visit:
    """The request, with the pictures that this site has drawn so far."""
    state = request.app.state
    if not hasattr(state, "drawings"):
        state.drawings = Drawings(wb=site.wb)
    return Visit(request=request, site=site, drawings=state.drawings, study=study)


Visiting = Annotated[Visit, Depends(visit_of)]


def wanted_of(query: str) -> Wanted:
    """What an address asks for; whatever cannot be read is the usual."""
    asked = {name: values[-1] for name, values in parse_qs(query).items()}
    return Wanted(
        show=asked.get("show", "all"),
        sort=asked.get("sort", ""),
        down="down" in asked,
        page=whole(asked.get("page", "")) or 1,
        masked="masked" in asked,
        drawn="drawn" in asked,
        done=asked.get("done", ""),
        also=whole(asked.get("also", "")),
    )


def whole(text: str) -> int:
    """A whole number of an address; 0 where it is none.

    >>> whole("12"), whole("-1"), whole("²")
    (12, 0, 0)
    """
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else 0


@router.get("")
def runs(visit: Visiting) -> Response:
    """What waits, what was decided, and what is clean; without names while these are hidden."""
    wanted = wanted_of(visit.request.url.query)
    if not wanted.masked and names_hidden(load_study(visit.site.wb, visit.study)):
        place = address(visit.study, "runs") + replace(wanted, masked=True).query()
        return RedirectResponse(place, status_code=303)
    return show_runs(visit, wanted)


@router.get("/{run}")
def run(visit: Visiting, run: str) -> HTMLResponse:
    """One run; asked for whole, with all that takes a moment to work out."""
    return show_run(visit, run, wanted_of(visit.request.url.query))


@router.get("/{run}/small")
def small(visit: Visiting, run: str) -> HTMLResponse:
    """The small picture of what was found first in a run."""
    masked = "masked" in visit.request.query_params
    record, each = named_run(visit.site.wb, visit.study, run, masked=masked)
    return show(visit.request, "run_small.html", picture=visit.drawings.stamp(record, each, masked=masked))


@router.get("/{run}/trace.svg")
def drawn(visit: Visiting, run: str) -> Response:
    """The frames of a run over time, as a picture for pages without script and for whoever wants the file."""
    record, each = named_run(visit.site.wb, visit.study, run, masked=False)
    picture = trace_picture(visit.site.wb, record, each)
    return Response(picture, media_type="image/svg+xml", headers={"Content-Security-Policy": PICTURE_POLICY})


@router.get("/{run}/{which}")
def original(visit: Visiting, run: str, which: str) -> Response:
    """A file as it came, to be kept and never to be shown: its bytes are anybody's."""
    _, each = named_run(visit.site.wb, visit.study, run, masked=False)
    file = original_of(visit.site.wb, each, which)
    headers = {"Content-Disposition": f'attachment; filename="{file.name}"'}
    return Response(file.data, media_type="application/octet-stream", headers=headers)


@router.post("/{run}/{verb}")
def decide(visit: Visiting, by: By, sent: Sent, run: str, verb: str) -> Response:
    """One decision; afterwards the page it was made on, or the bench where the run is to be made again."""
    asked = Asked(
        verb=verb,
        reason=typed(sent, "reason"),
        note=typed(sent, "note"),
        by=typed(sent, "by"),
        seen=typed(sent, "seen"),
        masked=typed(sent, "masked") == "yes",
        leave_slot_out=typed(sent, "leave_slot_out") == "yes",
        who=by,
    )
    form, back = typed(sent, "way"), own_address(visit.study, typed(sent, "back"))
    _, each = named_run(visit.site.wb, visit.study, run, masked=asked.masked)
    missing = missing_words(each, asked)
    if missing:
        return show_again(visit, back, refusal(run, form, asked, errors=missing), status=422)
    try:
        decided = decide_as_asked(visit.site.wb, run, asked, now=visit.site.now())
    except EvenhandError as error:
        return show_again(visit, back, refusal(run, form, asked, error=error), status=status_of(error))
    if typed(sent, "then") == "bench":
        return RedirectResponse(address(visit.study, "bench"), status_code=303)
    return RedirectResponse(with_done(back, run, also=len(decided.also)), status_code=303)


def show_runs(
    visit: Visit, wanted: Wanted, *, refused: Refused | None = None, status: int = 200
) -> HTMLResponse:
    """The list as it is wanted, with a decision that was not stored in the card that it was about."""
    page = runs_page(visit.site.wb, visit.study, wanted, refused=refused, clock=visit.site.clock)
    drawn = dict(drawn_on(visit, page)) if wanted.drawn else {}
    paper = "" if wanted.drawn else address(visit.study, "runs") + replace(wanted, drawn=True).query()
    return show(visit.request, "runs.html", status=status, page=page, drawn=drawn, paper=paper)


def drawn_on(visit: Visit, page: RunsPage) -> Iterator[tuple[str, Picture | None]]:
    """The small picture of every run in a card on this page, by the card's key."""
    for card in (*page.lists.waits, *page.lists.decided):
        if card.picture:
            record, each = named_run(visit.site.wb, visit.study, card.key, masked=page.masked)
            yield card.key, visit.drawings.stamp(record, each, masked=page.masked)


def show_run(
    visit: Visit, run: str, wanted: Wanted, *, refused: Refused | None = None, status: int = 200
) -> HTMLResponse:
    """One run's page, with a decision about it that was not stored."""
    asked_whole = "whole" in visit.request.query_params
    place = (visit.study, run)
    page = run_page(visit.drawings, place, wanted, whole=asked_whole, clock=visit.site.clock)
    page = replace(page, refused=refused)
    trim = trim_part(visit, run) if page.open is not None and page.open.trace else None
    return show(visit.request, "run.html", status=status, page=page, trim=trim)


def trim_part(visit: Visit, run: str) -> Trim:
    """The part of a run's page about its window, with what was cut just now."""
    record, each = named_run(visit.site.wb, visit.study, run, masked=False)
    number = whole(visit.request.query_params.get("cut", ""))
    done = cut_now(visit.site.wb, record, each, number) if number else None
    return replace(trim_of(visit.site.wb, record, each), done=done)


def show_again(visit: Visit, back: str, refused: Refused, *, status: int) -> HTMLResponse:
    """The page on which a decision was made, with what was typed and what is wrong with it."""
    place = urlsplit(back)
    wanted = wanted_of(place.query)
    # A script of our own pages puts the answer in place; browsers would tell it off as trouble otherwise.
    status = 200 if visit.request.headers.get("hx-request") else status
    if place.path == address(visit.study, "runs", refused.key):
        return show_run(visit, refused.key, wanted, refused=refused, status=status)
    return show_runs(visit, wanted, refused=refused, status=status)


def own_address(study: str, back: str) -> str:
    """Where to go back to: a page about this study's runs and nowhere else.

    >>> own_address("s", "/studies/s/runs?show=wait"), own_address("s", "//elsewhere.example/")
    ('/studies/s/runs?show=wait', '/studies/s/runs')
    """
    own, place = address(study, "runs"), urlsplit(back)
    inside = place.path == own or (place.path.startswith(f"{own}/") and place.path.count("/") == 4)
    return back if inside and not place.netloc and not place.scheme else own


def with_done(back: str, run: str, *, also: int) -> str:
    """The same address, told what was done there just now.

    >>> with_done("/studies/s/runs?show=wait&done=3f9a", "77c0", also=0)
    '/studies/s/runs?show=wait&done=77c0'
    """
    place = urlsplit(back)
    asked = {name: values[-1] for name, values in parse_qs(place.query).items()}
    asked = {name: value for name, value in asked.items() if name not in ("done", "also")}
    asked |= {"done": run} | ({"also": str(also)} if also else {})
    return place._replace(query=urlencode(asked), fragment="").geturl()


def refusal(
    run: str,
    form: str,
    asked: Asked,
    *,
    errors: dict[str, str] | None = None,
    error: EvenhandError | None = None,
) -> Refused:
    """What was not stored: all that was typed, and what is wrong with it."""
    return Refused(
        key=run,
        verb=form or asked.verb,
        values={"reason": asked.reason, "note": asked.note, "by": asked.by},
        errors=errors or {},
        told="" if error is None else error.found,
        todo="" if error is None else error.todo,
        overtaken=isinstance(error, Overtaken),
    )
