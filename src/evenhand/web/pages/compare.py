"""What the counting runs of a study say, and the proof of it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, Response

from evenhand.desk.pages.compare import compare_page
from evenhand.desk.pages.compare_cards import card_file, cards_page
from evenhand.desk.pages.compare_choice import Asked
from evenhand.desk.pages.compare_laid_over import laid_over_page
from evenhand.desk.pages.compare_left_out import left_out_page
from evenhand.web.hidden import study_in_sight
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/compare", dependencies=[Depends(study_in_sight)]
)


def asked_of(pair: str = "", metric: str = "", test: str = "") -> Asked:
    """What the address asks for."""
    return Asked(pair=pair, metric=metric, test=test)


AsAsked = Annotated[Asked, Depends(asked_of)]


@router.get("")
def compare(request: Request, site: Here, study: str, asked: AsAsked) -> HTMLResponse:
    """The answer, the pair row by row, the index, and what stands behind a row."""
    page = compare_page(site.wb, study, asked)
    return show(request, "compare.html", page=page, here=here(request))


@router.get("/left-out")
def left_out(request: Request, site: Here, study: str, asked: AsAsked) -> HTMLResponse:
    """Every run that was left out, and what the study would say with it."""
    return show(request, "left_out.html", page=left_out_page(site.wb, study, asked))


@router.get("/laid-over")
def laid_over(request: Request, site: Here, study: str, asked: AsAsked) -> HTMLResponse:
    """The scene of one test laid over itself, with the places where one loses time."""
    return show(request, "laid_over.html", page=laid_over_page(site.wb, study, asked))


@router.get("/cards")
def cards(
    request: Request, site: Here, study: str, asked: AsAsked, medium: str = "wide", whole: str = ""
) -> HTMLResponse:
    """Every card, for one medium; a set that is not drawn yet only where the `whole` is asked for."""
    return show(request, "cards.html", page=cards_page(site.wb, study, asked, medium, whole=whole == "1"))


@router.get("/cards/{name}.svg")
def card_svg(site: Here, study: str, name: str, pair: str = "") -> Response:
    """One card with its fonts inside."""
    return Response(card_file(site.wb, study, name, ending="svg", pair=pair), media_type="image/svg+xml")


@router.get("/cards/{name}.png")
def card_png(site: Here, study: str, name: str, pair: str = "") -> Response:
    """One card as PNG."""
    return Response(card_file(site.wb, study, name, ending="png", pair=pair), media_type="image/png")


def here(request: Request) -> str:
    """This address with what it asks for, to be asked again."""
    return f"{request.url.path}?{request.url.query}" if request.url.query else request.url.path
