"""Put a study away, bring it back, and say on its pages that it is away."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from evenhand.desk.pages.away import note_on
from evenhand.desk.study.away import bring_study_back, put_study_away
from evenhand.desk.study.away_waiting import land_waiting, waiting_for
from evenhand.web.forms import Sent, typed
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import By, Here
from evenhand.web.work import Watch, works_of

router = APIRouter(prefix="/studies/{study}", include_in_schema=False)


@router.get("/away")
def note(request: Request, site: Here, study: str) -> HTMLResponse:
    """The note by itself, for pages that ask anew; empty where the study is at hand."""
    return show(request, "away.html", away=note_on(site.wb, study), study=study)


@router.post("/put-away")
def put_away(site: Here, by: By, study: str, sent: Sent) -> Response:
    """Puts a study away, and tells it on the first page."""
    put_study_away(site.wb, study, note=typed(sent, "note"), by=by, now=site.now())
    return told(study)


@router.post("/bring-back")
def bring_back(request: Request, site: Here, by: By, study: str) -> Response:
    """Brings a study back; what came in for it meanwhile lands beside the pages."""
    bring_study_back(site.wb, study, by=by, now=site.now())
    if waiting_for(site.wb, study):
        works_of(request).begin(work_of(study), lambda watch: landing(site, study, by, watch))
    return told(study)


@router.post("/bring-back/stop")
def stop(request: Request, study: str) -> Response:
    """Stops landing at the next file; what did not land waits in the inbox."""
    work = works_of(request).of(work_of(study))
    if work is not None:
        work.end()
    return told(study)


def landing(site: Site, study: str, by: str, watch: Watch) -> str:
    """Lands what waited for a study; how it went, in words."""
    landed, left = land_waiting(site.wb, study, by=by, now=site.now(), watch=watch)
    return landed_words(landed, left)


def landed_words(landed: int, left: int) -> str:
    """How many of the files that waited for a study have landed.

    >>> landed_words(1, 0), landed_words(0, 1)
    ('The file that waited for it landed.', 'The file that waited for it waits in the inbox still.')
    >>> landed_words(2, 0), landed_words(2, 3)
    ('Both files that waited for it landed.', '2 of 5 files that waited for it landed.')
    """
    if landed + left == 1:
        what = "landed" if landed else "waits in the inbox still"
        return f"The file that waited for it {what}."
    if landed > 1 and not left:
        return f"{'Both' if landed == 2 else f'All {landed}'} files that waited for it landed."
    return f"{landed} of {landed + left} files that waited for it landed."


def work_of(study: str) -> str:
    """The name of the work that lands what waited for a study."""
    return f"back {study}"


def told(study: str) -> RedirectResponse:
    """To the first page, which says what was done."""
    return RedirectResponse(f"/?done={study}", status_code=303)
