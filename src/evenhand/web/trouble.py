"""Every error Evenhand can explain, told once: as JSON to programs, as a notice or a page to people."""

from __future__ import annotations

import os
from collections.abc import Mapping

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect
from starlette.routing import Match

from evenhand.desk.bench.hiding import NamesHidden
from evenhand.desk.bench.spool import TooLarge
from evenhand.desk.study.away import StudyIsAway
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
from evenhand.web.admission import THIS_COMPUTER, NoWayIn
from evenhand.web.guard import HEADERS
from evenhand.web.input_words import found_words, where_words
from evenhand.web.showing import show
from evenhand.web.site import site_of

STATUS: tuple[tuple[type[EvenhandError], int], ...] = (
    (NoWayIn, 401),
    (NamesHidden, 409),
    (StudyIsAway, 409),
    (NotFound, 404),
    (BadRecord, 422),
    (TooLarge, 413),
    (BadLog, 422),
    (NotComparable, 409),
    (NotEnoughRuns, 409),
    (Overtaken, 409),
    (StoreProblem, 503),
)

ADDRESSED = {404: "There is no such page.", 400: "What was sent cannot be read at all."}


def install(app: FastAPI) -> None:
    """Lets the application tell trouble this way."""
    app.add_exception_handler(EvenhandError, told)
    app.add_exception_handler(HTTPException, told_of_address)
    app.add_exception_handler(RequestValidationError, told_of_input)
    app.add_exception_handler(ClientDisconnect, told_to_nobody)
    app.add_exception_handler(Exception, told_of_ours)


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
        "found": ADDRESSED.get(error.status_code, str(error.detail)),
        "where": request.url.path,
        "todo": "see what is expected at /api" if error.status_code == 400 else "go back to the studies",
    }
    headers = dict(error.headers or {})
    if error.status_code == 405 and ways_of(request):
        headers["Allow"] = ", ".join(sorted(ways_of(request)))
    return answer(request, error.status_code, about, headers)


def ways_of(request: Request) -> set[str]:
    """In which ways an address may be asked for."""
    fitting = (each for each in request.app.state.routes if each.matches(request.scope)[0] is not Match.NONE)
    return {way for each in fitting for way in each.methods}


def told_of_input(request: Request, error: Exception) -> Response:
    """Something in the address, a header or the body that is not what is described; the first of it."""
    assert isinstance(error, RequestValidationError)
    first = error.errors()[0]
    about = {
        "kind": "BadRecord",
        "found": found_words(first),
        "where": where_words(first),
        "todo": "correct it; /api describes what is expected",
    }
    return answer(request, 422, about)


def told_to_nobody(_: Request, __: Exception) -> Response:
    """Whoever asked left before the whole request was here: a phone does it daily, and nobody reads this."""
    return Response(status_code=400)


def told_of_ours(request: Request, error: Exception) -> Response:
    """What should not happen: the terminal tells it in full, the asker only that nothing was half done."""
    about = {
        "kind": type(error).__name__,
        "found": "Something went wrong inside Evenhand. Nothing was stored in part.",
        "where": request.url.path,
        "todo": "try again; what the terminal says about it belongs into a report",
    }
    return answer(request, 500, about, HEADERS)


def told_there(request: Request, words: str) -> str:
    """Words as whoever asks may read them: only this computer where on it the workbench lies."""
    if getattr(request.state, "by", None) == THIS_COMPUTER:
        return words
    place = site_of(request).wb.path
    return words.replace(str(place), "the workbench").replace(f"{place.parent}{os.sep}", "")


def answer(
    request: Request, status: int, about: dict[str, str], headers: Mapping[str, str] | None = None
) -> Response:
    """Trouble in the form the asker reads."""
    # Words that came with a request may hold halves of characters, which no answer can.
    plain = {
        key: told_there(request, words.encode("utf-8", "replace").decode()) for key, words in about.items()
    }
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": plain}, status_code=status, headers=headers)
    template = "trouble_notice.html" if request.headers.get("hx-request") else "trouble.html"
    page = show(request, template, status=status, trouble=plain)
    page.headers.update(headers or {})
    return page
