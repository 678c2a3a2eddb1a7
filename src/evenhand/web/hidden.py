"""What is closed while the names of a study's builds are hidden, and the page that says so."""

from __future__ import annotations

from typing import Any

from fastapi import Request
from fastapi.responses import Response

from evenhand.desk.bench.hiding import NamesHidden, refuse_hidden_run, refuse_hidden_study
from evenhand.desk.pages.closed import closed_page
from evenhand.web.showing import show
from evenhand.web.site import Here, site_of
from evenhand.web.trouble import told

HIDDEN: dict[int | str, dict[str, Any]] = {
    409: {"description": "Names of builds are hidden until the plan is done, or what this rests on changed."}
}


def study_in_sight(site: Here, study: str) -> None:
    """Lets nobody pass while the names of this study's builds are hidden."""
    refuse_hidden_study(site.wb, study)


def run_in_sight(site: Here, run: str) -> None:
    """The same for the study of a run."""
    refuse_hidden_run(site.wb, run)


def closed(request: Request, error: Exception) -> Response:
    """The page that stands in; programs, and whoever asks for a file, get the refusal itself."""
    assert isinstance(error, NamesHidden)
    path = request.url.path
    if path.startswith("/api/") or "." in path.rpartition("/")[2]:
        return told(request, error)
    name = path.split("/")[3]
    return show(request, "closed.html", page=closed_page(site_of(request).wb, error.study, name))
