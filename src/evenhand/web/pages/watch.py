"""The watched folder of a study: which it is, what is on its way in it, and where it is named or ended."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response
from starlette.exceptions import HTTPException

from evenhand.desk.bench.watching import end_watch, title_of, watch_folder
from evenhand.desk.logs.dropping import Dropped, unnamed
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.watch import coming_words, watch_page
from evenhand.errors import BadRecord
from evenhand.web.admission import LOOPBACK
from evenhand.web.forms import Sent, typed
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import By, Here
from evenhand.web.watcher import FolderNow, Watcher

router = APIRouter(include_in_schema=False, prefix="/studies/{study}/bench/watch")


@router.get("")
def watched(request: Request, site: Here, study: str) -> Response:
    """The folder, and what is on its way in it."""
    return page_of(request, site, study)


@router.get("/coming")
def coming(request: Request, site: Here, study: str) -> Response:
    """The line of the bench that says what is on its way."""
    title_of(site.wb, study)
    return show(request, "coming.html", key=study, **coming_of(request, site, study))


@router.post("")
def watch(request: Request, site: Here, by: By, study: str, sent: Sent) -> Response:
    """Names the folder that is watched for this study."""
    only_here(request)
    folder, present_too = typed(sent, "folder"), typed(sent, "present") == "yes"
    title_of(site.wb, study)
    try:
        watch_folder(site.wb, folder, study=study, present_too=present_too, by=by, now=site.now())
    except BadRecord as trouble:
        return page_of(request, site, study, trouble=trouble, named=folder)
    return back(study)


@router.post("/end")
def end(request: Request, site: Here, by: By, study: str, sent: Sent) -> Response:
    """Ends it, for this study or for any; what came in stays."""
    only_here(request)
    of = None if typed(sent, "any") == "yes" else study
    end_watch(site.wb, study=of, by=by, now=site.now())
    return back(study)


def only_here(request: Request) -> None:
    """Raises HTTPException for a device of the network: it could have any folder of this computer read."""
    if request.client is None or request.client.host not in LOOPBACK:
        raise HTTPException(403, "A folder to be watched is named at the workbench's own computer.")


def page_of(
    request: Request, site: Site, study: str, *, trouble: BadRecord | None = None, named: str = ""
) -> Response:
    """The page; with `trouble` what is wrong with the folder that was named stands at its field."""
    folders = {each.watch.id: each for each in folders_now(request, site)}
    page = watch_page(
        site.wb,
        study,
        writing={key: each.writing for key, each in folders.items()},
        behind={key: each.behind for key, each in folders.items()},
    )
    return show(
        request,
        "watch.html",
        status=422 if trouble else 200,
        page=page,
        folders=folders,
        trouble=trouble,
        named=named,
        here=request.client is not None and request.client.host in LOOPBACK,
    )


def folders_now(request: Request, site: Site) -> tuple[FolderNow, ...]:
    """Every watched folder as it is now, by today's lights."""
    watcher: Watcher = request.app.state.watcher
    return tuple(unnamed_in(site, each) for each in watcher.folders())


def coming_of(request: Request, site: Site, study: str) -> dict[str, Any]:
    """What is on its way in the folders `watched` for a study or for any, in words; "" for nothing."""
    own = [each for each in folders_now(request, site) if each.watch.study in (study, None)]
    writing = [path for each in own for path in each.writing]
    behind = [path for each in own for path in each.behind]
    return {"watched": bool(own), "coming": coming_words(writing, behind)}


def unnamed_in(site: Site, folder: FolderNow) -> FolderNow:
    """What is on its way and what came last by today's lights: names may have been hidden since it came."""
    study = folder.watch.study or ""

    def told(path: str) -> str:
        return unnamed(site.wb, Dropped(name=path, sort="waits", words=""), study=study).name

    return replace(
        folder,
        writing=tuple(map(told, folder.writing)),
        behind=tuple(map(told, folder.behind)),
        last=tuple(unnamed(site.wb, each, study=study) for each in folder.last),
    )


def back(study: str) -> RedirectResponse:
    """To the page again."""
    return RedirectResponse(address(study, "bench", "watch"), status_code=303)
