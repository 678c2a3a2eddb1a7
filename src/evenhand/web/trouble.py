"""Every error Evenhand can explain, told once: as JSON to programs, as a notice or a page to people."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException

from evenhand.desk.spool import TooLarge
from evenhand.errors import (
    BadLog,
    BadRecord,
    EvenhandError,
    NotComparable,
    NotEnoughRuns,
    NotFound,
    Overtaken,
    StoreProblem,
)
from evenhand.web.showing import show

STATUS: tuple[tuple[type[EvenhandError], int], ...] = (
    (NotFound, 404),
    (BadRecord, 422),
    (TooLarge, 413),
    (BadLog, 422),
    (NotComparable, 409),
    (NotEnoughRuns, 409),
    (Overtaken, 409),
    (StoreProblem, 503),
)


def install(app: FastAPI) -> None:
    """Lets the application tell trouble this way."""
    app.add_exception_handler(EvenhandError, told)
    app.add_exception_handler(HTTPException, told_of_address)


def told(request: Request, error: Exception) -> Response:
    """What was found, where, and what to do next."""
    assert isinstance(error, EvenhandError)
    status = status_of(error)
    about = {
        "kind": type(error).__name__,
        "found": error.found,
        "where": error.where,
        "todo": error.todo,
    }
    return answer(request, status, about)


def status_of(error: EvenhandError) -> int:
    """The status of the answer that tells this trouble."""
    return next((code for kind, code in STATUS if isinstance(error, kind)), 500)


def told_of_address(request: Request, error: Exception) -> Response:
    """An address that nothing answers to, or a way of asking that it does not know."""
    assert isinstance(error, HTTPException)
    about = {
        "kind": "NotFound" if error.status_code == 404 else "BadRecord",
        "found": "There is no such page." if error.status_code == 404 else str(error.detail),
        "where": request.url.path,
        "todo": "go back to the studies",
    }
    return answer(request, error.status_code, about)


def answer(request: Request, status: int, about: dict[str, str]) -> Response:
    """Trouble in the form the asker reads."""
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": about}, status_code=status)
    template = "trouble_notice.html" if request.headers.get("hx-request") else "trouble.html"
    return show(request, template, status=status, trouble=about)
