"""Better parts for a budget, and upgrade paths: two pages beside Money."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, Response

from evenhand.desk.money.growing_cards import file_of, paths_card, reach_card
from evenhand.desk.money.spending import Wish, wrong_budget
from evenhand.desk.pages.better import better_page
from evenhand.desk.pages.paths import paths_page
from evenhand.publish.palette import Theme
from evenhand.publish.style import Medium
from evenhand.web.hidden import study_in_sight
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/money", dependencies=[Depends(study_in_sight)]
)


TYPES = {"svg": "image/svg+xml", "png": "image/png"}
Ending = Literal["svg", "png"]


@router.get("/better/card.{ending}")
def better_card(
    site: Here, study: str, ending: Ending, build: str = "", audience: str = "", budget: str = "",
    medium: Medium = Medium.WIDE, theme: Theme = Theme.LIGHT,
) -> Response:  # fmt: skip
    """What budgets reach, as a card."""
    wish = Wish(build=build, audience=audience, budget=budget)
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
def better(
    request: Request,
    site: Here,
    study: str,
    build: str = "",
    audience: str = "",
    budget: str = "",
    rules: str = "",
    whole: str = "",
) -> HTMLResponse:
    """The best parts for a budget; the `whole` with what twenty others reach."""
    wish = Wish(build=build, audience=audience, budget=budget, rules=rules == "1")
    wrong = wrong_budget(site.wb, study, wish)
    if wrong:
        wish = replace(wish, budget="")
    page = better_page(site.wb, study, wish, whole=whole == "1")
    status = 422 if wrong else 200
    return show(request, "better.html", status=status, page=page, wrong=wrong, written=budget)


@router.get("/paths")
def paths(request: Request, site: Here, study: str, audience: str = "", whole: str = "") -> HTMLResponse:
    """How far each build comes; what is not known yet only where the `whole` is asked for."""
    page = paths_page(site.wb, study, audience, whole=whole == "1")
    return show(request, "paths.html", page=page)
