"""Trials that run just now, for the pages that show them: what was heard lies beside the application."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.running import RunningTrial, running_trials, stopped_lately
from evenhand.desk.tuning.under_way import Heard, ask_stop, give_up
from evenhand.errors import NotFound
from evenhand.web.forms import typed
from evenhand.web.served import Site


def heard_of(request: Request) -> Heard:
    """What was heard of trials lately."""
    found: Heard = request.app.state.heard
    return found


def running_here(request: Request, site: Site, study: str) -> tuple[RunningTrial, ...]:
    """The trials that run on machines of a study."""
    record = load_study(site.wb, study)
    return running_trials(site.wb, record, heard_of(request), now=site.now(), clock=site.clock)


def stopped_here(site: Site, study: str) -> tuple[str, ...]:
    """What became of trials that were asked to stop a little while ago."""
    return stopped_lately(site.wb, load_study(site.wb, study), now=site.now())


def stopped(request: Request, site: Site, study: str, sent: FormData, *, by: str, there: str) -> Response:
    """Asks that a trial be ended, and goes back to the page; one that has ended meanwhile stands there."""
    found = _meant(request, site, study, sent)
    if found is not None:
        ask_stop(site.wb, found.setup, found.part, key=found.key, by=by, now=site.now())
    return RedirectResponse(f"{there}#running", status_code=303)


def given_up(request: Request, site: Site, study: str, sent: FormData, *, there: str) -> Response:
    """Tells a trial as running no more, and goes back to the page. Raises BadRecord without a reason."""
    found = _meant(request, site, study, sent)
    if found is not None:
        give_up(site.wb, found.setup, found.part, typed(sent, "reason"), key=found.key, now=site.now())
    return RedirectResponse(there, status_code=303)


def _meant(request: Request, site: Site, study: str, sent: FormData) -> RunningTrial | None:
    """The trial that a form is about; None where it runs no more. Raises NotFound where a form names none."""
    key = typed(sent, "key")
    if not key:
        raise NotFound("it is not said which trial", where="key", todo="go back to the page")
    return next((each for each in running_here(request, site, study) if each.key == key), None)
