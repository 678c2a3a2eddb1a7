"""What follows a form that was saved: the page again, with what was done on top of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Query, Request
from fastapi.responses import RedirectResponse


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How a page is asked for: with which part as a form, after which change, and whether by itself again."""

    edit: str = ""
    done: Annotated[int | None, Query(ge=1, le=2**62)] = None
    again: Annotated[int, Query(ge=0, le=1)] = 0


View = Annotated[Asked, Depends()]


def only_looking(request: Request) -> bool:
    """Whether a form is only looked at, while it is being filled in."""
    return "check" in request.query_params


def by_htmx(request: Request) -> bool:
    """Whether the page asks for a part of itself."""
    return "hx-request" in request.headers


def back_to(path: str, *, done: int) -> RedirectResponse:
    """To a page after a change; `done` is the change's number, 0 where nothing was changed."""
    return RedirectResponse(f"{path}?done={done}" if done else path, status_code=303)
