"""Who is better value at which prices, what a machine costs to own, and what is assumed for that."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, Response

from evenhand.desk.pages.frame import address
from evenhand.desk.pages.money import Looked, money_page
from evenhand.desk.study.assuming import assumed, drafted_terms, put_terms
from evenhand.desk.study.on_shelf import study_called
from evenhand.desk.study.shelving import version_of
from evenhand.errors import EvenhandError
from evenhand.web.answers import Asked, View, back_to, by_htmx, only_looking
from evenhand.web.closed_study import edit_of
from evenhand.web.forms import NOWHERE, Form, Sent
from evenhand.web.hidden import study_in_sight
from evenhand.web.money_fields import at_field, read_terms, terms_values
from evenhand.web.pages.brief import PLAINLY, READING, Editing, seen_in, unsaved
from evenhand.web.pages.compare import here
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.study_fields import filled_form
from evenhand.web.worth_fields import today_at

TERMS = "terms"
MOVED = ("hours", "tariff", "years")
PRICE = "price-"

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/money", dependencies=[Depends(study_in_sight)]
)


@router.get("")
def money(
    request: Request, site: Here, study: str, view: View, audience: str = "", pair: str = ""
) -> HTMLResponse:
    """The money of one audience and one pair; sliders that were moved are read of the address."""
    edited = editing(site, study, edit_of(site, study, view))
    return drawn(request, site, study, edited, view=view, audience=audience, pair=pair)


def drawn(
    request: Request, site: Site, study: str, edited: Editing, *, view: Asked = PLAINLY,
    audience: str = "", pair: str = "",
) -> HTMLResponse:  # fmt: skip
    """The page; one that holds mistakes says so to those who asked without htmx."""
    status = 422 if edited.form.errors and not by_htmx(request) else 200
    asked = Looked(audience=audience, pair=pair, moved=moved_in(request))
    page = money_page(site.wb, study, asked, today=today_at(site), done=view.done)
    seen = version_of(site.wb, study_called(site.wb, study)) if edited.part else 0
    return show(
        request, "money.html", status=status, page=page, here=here(request), edited=edited, seen=seen,
        again=view.again, place=address(study, "money"),
    )  # fmt: skip


def moved_in(request: Request) -> dict[str, str]:
    """What the sliders' form sends: hours, tariff, years, and a price for each machine."""
    return {
        name: text for name, text in request.query_params.items() if name in MOVED or name.startswith(PRICE)
    }


def editing(site: Site, study: str, part: str) -> Editing:
    """The terms as a form, filled with what is on record. Any other part is none."""
    if part != TERMS:
        return READING
    values = terms_values(assumed(study_called(site.wb, study)))
    check = f"{address(study, 'money')}/{TERMS}?check=1"
    return Editing(part=TERMS, form=Form(name=TERMS, values=values, check=check))


@router.post("/terms")
def save(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Saves what is assumed, or only looks at it while it is being filled in."""
    before = study_called(site.wb, study)
    reading = read_terms(sent, before.currency)
    problems = [
        replace(each, field=at_field(each.field)) for each in drafted_terms(before, reading.given).problems
    ]
    check = f"{address(study, 'money')}/{TERMS}?check=1"
    form = filled_form(TERMS, reading, problems, check=check)
    if only_looking(request):
        form = replace(form, start=NOWHERE)
    elif not form.errors:
        try:
            kept = put_terms(site.wb, study, reading.given, now=site.now(), seen=seen_in(sent))
        except EvenhandError as refused:
            form = unsaved(form, refused)
        else:
            return back_to(address(study, "money"), done=kept.change)
    return drawn(request, site, study, Editing(part=TERMS, form=form))
