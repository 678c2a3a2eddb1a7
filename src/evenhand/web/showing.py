"""Templates and what they may use; nothing is shown unescaped but pictures that we drew ourselves."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from evenhand.desk.pictures import SLOT_MARKS, drawn


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
    env.globals["slot_marks"] = SLOT_MARKS
    return env


def show(request: Request, template: str, *, status: int = 200, **about: object) -> HTMLResponse:
    """A page or a part of one. `about` is what the template shows."""
    text = templates().get_template(template).render(path=request.url.path, **about)
    return HTMLResponse(text, status_code=status)
