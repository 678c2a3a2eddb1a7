"""A request that drops something: its form, its files, who sends it, and how it is answered."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from evenhand.desk.bench.spool import TooLarge
from evenhand.desk.logs.dropping import sentence
from evenhand.desk.pages.drop import MOST_BYTES, MOST_WORDS
from evenhand.errors import BadRecord, EvenhandError
from evenhand.web.served import Site
from evenhand.web.site import By, Here
from evenhand.web.trouble import status_of

ROUND = 256 * 1024  # what a form needs around its files
MOST_FILES = 5_000


async def dropped(request: Request) -> AsyncIterator[FormData]:
    """The form with its files, on disk; refused by its size before any of it is read. Raises TooLarge."""
    said = request.headers.get("content-length", "")
    if not said.isdigit():
        raise BadRecord("the request does not say its length", todo="send a Content-Length header")
    if int(said) > MOST_BYTES + ROUND:
        raise TooLarge(
            f"this is more than {MOST_WORDS}, the most that can be dropped at once",
            todo="drop fewer files at a time; a single log as long is brought in with `evenhand import`",
        )
    async with request.form(max_files=MOST_FILES) as form:
        yield form


Form = Annotated[FormData, Depends(dropped)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One request, and who asks."""

    request: Request
    site: Site
    by: str

    @property
    def program(self) -> bool:
        """Whether the page's own script asks, which goes on by itself."""
        return "application/json" in self.request.headers.get("accept", "")


def visit_of(request: Request, site: Here, by: By) -> Visit:
    """The request."""
    return Visit(request=request, site=site, by=by)


Visiting = Annotated[Visit, Depends(visit_of)]


def begun(visit: Visit, number: str) -> Response:
    """To the page that shows how far it is."""
    if visit.program:
        return JSONResponse({"address": f"/drop/{number}"})
    return RedirectResponse(f"/drop/{number}", status_code=303)


def told(visit: Visit, trouble: EvenhandError) -> Response:
    """What could not be taken in: to the script in words, to a person as a page."""
    if not visit.program:
        raise trouble
    return JSONResponse({"words": words_of(trouble)}, status_code=status_of(trouble))


def words_of(trouble: EvenhandError) -> str:
    """Trouble in sentences."""
    where = f"{trouble.where}: " if trouble.where else ""
    found = f"{where}{trouble.found}" if where else sentence(trouble.found)
    return f"{found.rstrip('.')}. {sentence(trouble.todo)}".strip()


def files_in(sent: FormData) -> list[UploadFile]:
    """The files of a form; fields in which none was chosen are left out."""
    return [each for each in sent.getlist("files") if isinstance(each, UploadFile) and each.filename]


def named(file: UploadFile) -> str:
    """What a file is called, from the dropped folder on."""
    return (file.filename or "log").replace("\\", "/").lstrip("/")
