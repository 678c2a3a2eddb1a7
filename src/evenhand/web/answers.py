"""What follows a form that was saved: the page again, with what was done on top of it."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import RedirectResponse


def by_htmx(request: Request) -> bool:
    """Whether the page asks for a part of itself."""
    return "hx-request" in request.headers


def back_to(path: str, *, done: int) -> RedirectResponse:
    """To a page after a change; `done` is the change's number, 0 where nothing was changed."""
    return RedirectResponse(f"{path}?done={done}#done" if done else path, status_code=303)
