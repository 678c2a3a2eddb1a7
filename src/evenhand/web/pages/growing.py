"""Better parts for a budget, and upgrade paths: two pages beside Money whose searches can be stopped."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal, TypeAlias

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from evenhand.desk.money.grounds import grounds_of
from evenhand.desk.money.growing import paths_are_known, paths_for
from evenhand.desk.money.growing_cards import file_of, paths_card, reach_card
from evenhand.desk.money.spending import (
    Spent,
    Wish,
    better_for,
    further_for,
    further_is_known,
    wrong_budget,
)
from evenhand.desk.pages.better import better_page
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.paths import paths_page
from evenhand.publish.palette import Theme
from evenhand.publish.style import Medium
from evenhand.web.hidden import study_in_sight
from evenhand.web.searches import searches_of
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/money", dependencies=[Depends(study_in_sight)]
)


TYPES = {"svg": "image/svg+xml", "png": "image/png"}
Ending = Literal["svg", "png"]
Asked: TypeAlias = tuple[str, ...]


def wish_of(build: str = "", audience: str = "", budget: str = "") -> Wish:
    """What an address asks for: all of it."""
    return Wish(build=build, audience=audience, budget=budget, rules=True, budgets=True)


Wished = Annotated[Wish, Depends(wish_of)]


@router.get("/better/card.{ending}")
def better_card(
    site: Here, study: str, ending: Ending, wish: Wished,
    medium: Medium = Medium.WIDE, theme: Theme = Theme.LIGHT,
) -> Response:  # fmt: skip
    """What budgets reach, as a card."""
    one = reach_card(site.wb, study, wish, medium=medium, theme=theme)
    return Response(file_of(one, ending), media_type=TYPES[ending])


@router.get("/paths/card.{ending}")
def path_card(
    site: Here,
    study: str,
    ending: Ending,
    audience: str = "",
    medium: Medium = Medium.WIDE,
    theme: Theme = Theme.LIGHT,
) -> Response:
    """How far each build comes, as a card."""
    one = paths_card(site.wb, study, audience, medium=medium, theme=theme)
    return Response(file_of(one, ending), media_type=TYPES[ending])


@router.get("/better")
def better(request: Request, site: Here, study: str, wish: Wished, whole: str = "") -> HTMLResponse:
    """The best parts for a budget; with the `whole` what takes longer is begun, or shown as far as it is."""
    wrong, written = wrong_budget(site.wb, study, wish), wish.budget
    wish = replace(wish, budget="") if wrong else wish
    spent = better_for(site.wb, study, wish)
    search, found = None, None
    if further_is_known(site.wb, spent, wish):
        found = further_for(site.wb, spent, wish)
    else:
        asked, changes = better_asked(spent), site.wb.changes()
        search = searches_of(request).of(asked, changes)
        if search is None and whole == "1":
            search = searches_of(request).begin(
                asked, changes, lambda watch, keep: further_for(site.wb, spent, wish, watch=watch, keep=keep)
            )
        found = search.found if search else None
    return show(
        request, "better.html", status=422 if wrong else 200, page=better_page(spent, found),
        work=search.work if search else None, wrong=wrong, written=written,
    )  # fmt: skip


@router.post("/better/{what}")
def better_stop(
    request: Request, site: Here, study: str, what: Literal["stop", "again"], wish: Wished
) -> RedirectResponse:
    """Stops the search at its next step, what is found stays; or lets it begin again."""
    spent = better_for(site.wb, study, wish)
    end(request, better_asked(spent), site.wb.changes(), forget=what == "again")
    return RedirectResponse(f"{address(study, 'money', 'better')}?{better_page(spent, None).asked}", 303)


@router.get("/paths")
def paths(request: Request, site: Here, study: str, audience: str = "", whole: str = "") -> HTMLResponse:
    """How far each build comes; what is not known yet is begun where the `whole` is asked for."""
    grounds, search, found = grounds_of(site.wb, study, audience), None, None
    if paths_are_known(site.wb, study, audience):
        found = paths_for(site.wb, study, audience)
    else:
        asked, changes = paths_asked(study, grounds.here.audience.key), site.wb.changes()
        search = searches_of(request).of(asked, changes)
        if search is None and whole == "1":
            search = searches_of(request).begin(
                asked, changes,
                lambda watch, keep: paths_for(site.wb, study, audience, watch=watch, keep=keep),
            )  # fmt: skip
        found = search.found if search else None
    page, work = paths_page(grounds, found), search.work if search else None
    return show(request, "paths.html", page=page, work=work)


@router.post("/paths/{what}")
def paths_stop(
    request: Request, site: Here, study: str, what: Literal["stop", "again"], audience: str = ""
) -> RedirectResponse:
    """Stops the search at its next step, what is found stays; or lets it begin again."""
    grounds = grounds_of(site.wb, study, audience)
    asked = paths_asked(study, grounds.here.audience.key)
    end(request, asked, site.wb.changes(), forget=what == "again")
    return RedirectResponse(f"{address(study, 'money', 'paths')}?{paths_page(grounds, None).asked}", 303)


def end(request: Request, asked: Asked, changes: int, *, forget: bool) -> None:
    """Stops a search where it goes on."""
    search = searches_of(request).of(asked, changes)
    if search is not None:
        search.work.end()
    if forget:
        searches_of(request).forget(asked)


def better_asked(spent: Spent) -> Asked:
    """What a search for better parts is known by."""
    grounds = spent.grounds
    study, audience = grounds.record.study.key, grounds.here.audience.key
    return ("better", study, audience, spent.build, str(spent.found.budget_minor))


def paths_asked(study: str, audience: str) -> Asked:
    """What a search for paths is known by."""
    return ("paths", study, audience)
