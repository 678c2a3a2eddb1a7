"""What machines are worth, cost to own, could be and become, for programs; amounts in smallest units."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query

from evenhand.desk.money.answers import (
    all_at_once,
    grid_answer,
    money_answer,
    money_of_study,
    replays,
)
from evenhand.desk.money.choice_answers import better_answer, paths_answer
from evenhand.desk.money.growing import paths_for
from evenhand.desk.money.spending import Wish, better_for, further_for
from evenhand.desk.money.trying import tried_from
from evenhand.desk.study.on_shelf import study_called
from evenhand.web.hidden import HIDDEN, study_in_sight
from evenhand.web.site import Here
from evenhand.web.worth_fields import today_at

REFUSED: dict[int | str, dict[str, Any]] = {
    **HIDDEN,
    404: {"description": "There is no such study, audience, build or pair."},
    422: {"description": "Something lacks or cannot be used; the answer says what to do."},
}

router = APIRouter(
    prefix="/api/studies/{study}/money",
    tags=["Money"],
    dependencies=[Depends(study_in_sight)],
    responses=REFUSED,
)

Audience = Annotated[str, Query(description="For whom, by key; the first where it is left out.")]
Spans = Annotated[str, Query(description="From and to with .. between, or one number; on record else.")]
Years = Annotated[str, Query(description="How long a machine is kept; on record else.")]


@router.get("")
def money(
    site: Here, study: str, audience: Audience = "", hours: Spans = "", tariff: Spans = "", years: Years = ""
) -> dict[str, Any]:
    """Value, the last 90 days and ownership, in the shape of `evenhand money --json`.

    Hours, tariff and years are tried on and kept nowhere.
    """
    tried = tried_from(study_called(site.wb, study).currency, hours=hours, tariff=tariff, years=years)
    ground = money_of_study(site.wb, study, audience=audience or None, tried=tried)
    today = today_at(site)
    days, led = replays(site.wb, ground, today=today), all_at_once(site.wb, ground, today=today)
    return money_answer(ground, days, led)


@router.get("/grid")
def grid(
    site: Here,
    study: str,
    audience: Audience = "",
    pair: Annotated[str, Query(description="Two setups with a ~ between; the first two if left out.")] = "",
) -> dict[str, Any]:
    """Who of two is better value at each pair of prices around today's."""
    ground = money_of_study(site.wb, study, audience=audience or None, tried=tried_from(None))
    return grid_answer(ground, pair)


@router.get("/better")
def better(
    site: Here,
    study: str,
    build: Annotated[str, Query(description="To begin with, by key; the first if left out.")] = "",
    audience: Audience = "",
    budget: Annotated[str, Query(description="For the whole machine, as it is written.")] = "",
    *,
    rules: bool = False,
    reach: bool = False,
) -> dict[str, Any]:
    """The best parts for a budget, in the shape of `evenhand better --json`; it takes as long as that does.

    With `rules` what each rule of fit costs, with `reach` what twenty budgets buy.
    """
    wish = Wish(build=build, audience=audience, budget=budget, rules=rules, budgets=reach)
    spent = better_for(site.wb, study, wish)
    return better_answer(spent, further_for(site.wb, spent, wish), wish)


@router.get("/paths")
def paths(site: Here, study: str, audience: Audience = "") -> dict[str, Any]:
    """The upgrade paths of all builds, in the shape of `evenhand paths --json`; it takes as long as that."""
    return paths_answer(paths_for(site.wb, study, audience))
