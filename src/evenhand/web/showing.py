"""Templates and what they may use; nothing is shown unescaped but pictures that we drew ourselves."""

from __future__ import annotations

from functools import cache, partial

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from evenhand.desk.pictures import SLOT_MARKS, drawn, names_apart
from evenhand.desk.study.moments import day_of
from evenhand.web.reach import opens_of, within_reach


@cache
def templates() -> Environment:
    """The environment of all templates: everything escaped, and no name taken for empty in silence."""
    env = Environment(
        loader=PackageLoader("evenhand.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters["picture"] = lambda picture: Markup(drawn(picture))  # noqa: S704  (our own SVG, names escaped)
    env.filters["drawing"] = Markup  # a code that segno drew: no text of anybody is in it
    env.filters["prose"] = Markup  # made by prose.rendering: nothing that was typed is a tag
    env.globals["slot_marks"] = SLOT_MARKS
    return env


def show(request: Request, template: str, *, status: int = 200, **about: object) -> HTMLResponse:
    """A page or a part of one, without links that whoever asks may not follow. `about` is what it shows."""
    opens = opens_of(request)
    about |= {"path": request.url.path, "opens": opens or everything, "today": partial(today, request)}
    about["count"] = getattr(request.state, "count", "")  # none where trouble came before the page
    text = names_apart(templates().get_template(template).render(**about))
    return HTMLResponse(within_reach(text, opens) if opens else text, status_code=status)


def today(request: Request) -> str:
    """The day on which a page is shown, by this computer's clock: what is printed says when it was true."""
    site = request.app.state.site
    return day_of(site.clock(site.now()))


def everything(*_: str) -> bool:
    """What this computer may open."""
    return True
