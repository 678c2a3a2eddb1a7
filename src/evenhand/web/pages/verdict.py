"""For whom which machine, how surely, and what would flip it."""

from __future__ import annotations

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse

from evenhand.desk.pages.verdict import Looked, verdict_page
from evenhand.desk.pages.verdict_two import two_page
from evenhand.errors import BadRecord
from evenhand.web.hidden import study_in_sight
from evenhand.web.pages.compare import here
from evenhand.web.showing import show
from evenhand.web.site import Here

PREFIX = "weight-"

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/verdict", dependencies=[Depends(study_in_sight)]
)


@router.get("")
def verdict(request: Request, site: Here, study: str, pair: str = "", audience: str = "") -> HTMLResponse:
    """The verdict on one pair for every audience, one of them looked at closely."""
    asked = Looked(pair=pair, audience=audience, weights=weights_asked(request))
    return show(request, "verdict.html", page=verdict_page(site.wb, study, asked), here=here(request))


@router.get("/two")
def two(
    request: Request, site: Here, study: str, pair: str = "", audience: str = "", whole: str = ""
) -> HTMLResponse:
    """What two changes together would flip; what is not known yet only where the `whole` is asked for."""
    page = two_page(site.wb, study, Looked(pair=pair, audience=audience), whole=whole == "1")
    return show(request, "verdict_two.html", page=page)


def weights_asked(request: Request) -> dict[str, float]:
    """The weights that the sliders' form sends, in per cent: `weight-games=70`. Raises BadRecord."""
    given = {
        name.removeprefix(PREFIX): text
        for name, text in request.query_params.items()
        if name.startswith(PREFIX)
    }
    found = {key: percent_in(text) for key, text in given.items()}
    wrong = [f"{key} = {given[key]}" for key, value in found.items() if value is None]
    if wrong:
        raise BadRecord(
            f"a weight must be a number from 0 to 100: {', '.join(wrong)}", where="weights", todo="correct it"
        )
    return {key: value for key, value in found.items() if value is not None}


def percent_in(text: str) -> float | None:
    """A number from 0 to 100, or None."""
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return None
    return value if 0 <= value <= 100 else None
