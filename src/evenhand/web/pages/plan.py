"""The plan of a study's bench days: looked at before it is made, made, planned anew; and its run sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from evenhand.desk.bench.plan_needs import terms_from
from evenhand.desk.bench.planning import bring_back, make_plan, replan
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.plan import Asked, plan_page
from evenhand.desk.pages.sheet import sheet_page
from evenhand.desk.typed_numbers import decimal
from evenhand.errors import BadRecord
from evenhand.web.answers import back_to
from evenhand.web.forms import Form, Sent, typed, typed_all
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.trouble import status_of

router = APIRouter(prefix="/studies/{study}/bench", include_in_schema=False)

DEFAULTS: Mapping[str, str] = {
    "looks": "3,5,8",
    "at_once": "1",
    "warm_up": "2",
    "reboot": "4",
    "day": "6",
    "seed": "1",
}
BOUNDS: Mapping[str, tuple[float, float]] = {
    "at_once": (1, 8),
    "warm_up": (0, 120),
    "reboot": (0, 120),
    "day": (0.5, 24),
    "seed": (0, 2**31),
}
WHOLE = ("at_once", "seed")


@router.get("/plan")
def plan(request: Request, site: Here, study: str) -> HTMLResponse:
    """The standing plan, or the one that the terms in the address would make."""
    given = {name: request.query_params.get(name, "").strip() for name in DEFAULTS}
    asked, form = asked_for(given)
    wanted = asked if any(given.values()) and not form.errors else None
    page = plan_page(site.wb, study, asked=wanted, now=site.now())
    if not any(given.values()):
        form = replace(form, values={**form.values, **page.given})
    done = request.query_params.get("done", "")
    return show(
        request,
        "plan.html",
        status=422 if form.errors else 200,
        page=page,
        form=form,
        done=done,
        refused=None,
    )


@router.post("/plan")
def make(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Makes the plan and shows it."""
    asked, form = asked_for({name: typed(sent, name) for name in DEFAULTS})
    if form.errors or asked is None:
        page = plan_page(site.wb, study, asked=None, now=site.now())
        return show(request, "plan.html", status=422, page=page, form=form, done="", refused=None)
    try:
        made = make_plan(site.wb, study, asked.terms, seed=asked.seed, now=site.now())
    except BadRecord as refused:
        return not_made(request, site, study, refused, form)
    return back_to(address(study, "bench", "plan"), done=made.id)


@router.post("/plan/again")
def again(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Plans the rest anew, without the rigs that dropped out."""
    without = typed_all(sent, "without")
    seed = int(site.now().timestamp()) % 10_000
    try:
        made = replan(site.wb, study, seed=seed, now=site.now(), without=without)
    except BadRecord as refused:
        return not_made(request, site, study, refused)
    return back_to(address(study, "bench", "plan"), done=made.id)


def not_made(
    request: Request, site: Site, study: str, refused: BadRecord, form: Form | None = None
) -> HTMLResponse:
    """The page as it stands, and why no other plan was made."""
    page = plan_page(site.wb, study, asked=None, now=site.now())
    if form is None:
        form = asked_for({})[1]
        form = replace(form, values={**form.values, **page.given})
    status = status_of(refused)
    return show(request, "plan.html", status=status, page=page, form=form, done="", refused=refused)


@router.post("/plan/back")
def back(site: Here, study: str, sent: Sent) -> Response:
    """Lets the plan stand again that stood before."""
    number = typed(sent, "plan")
    if not number.isdecimal() or len(number) > 18:
        raise BadRecord("no plan is named", where="plan", todo="go back to the plan's page")
    made = bring_back(site.wb, study, int(number), now=site.now())
    return back_to(address(study, "bench", "plan"), done=made.id)


@router.get("/sheet")
def sheet(request: Request, site: Here, study: str) -> HTMLResponse:
    """The run sheet, to be printed."""
    return show(request, "sheet.html", page=sheet_page(site.wb, study))


def asked_for(given: Mapping[str, str]) -> tuple[Asked | None, Form]:
    """The terms that were typed, empty fields by their defaults; and the form with what is wrong with it."""
    values = {name: given.get(name) or default for name, default in DEFAULTS.items()}
    numbers = {name: decimal(values[name]) for name in BOUNDS}
    errors = {name: said for name in BOUNDS if (said := problem(name, numbers[name]))}
    try:
        terms = terms_from(values["looks"], {name: n for name, n in numbers.items() if n is not None})
    except BadRecord as refused:
        errors["looks"] = f"{refused.found[:1].upper()}{refused.found[1:]}; {refused.todo}."
    form = Form(name="plan", values=values, errors=errors)
    if errors:
        return None, form
    return Asked(terms=terms, seed=int(numbers["seed"] or 0)), form


def problem(name: str, value: float | None) -> str:
    """What is wrong with a number, or ""."""
    low, high = BOUNDS[name]
    if value is not None and low <= value <= high and (name not in WHOLE or value == int(value)):
        return ""
    return f"Write a {'whole ' if name in WHOLE else ''}number from {low:g} to {high:g}."
