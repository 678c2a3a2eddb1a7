"""Files, folders and archives that are dropped on a page or chosen in its form."""

from __future__ import annotations

import shutil
from collections.abc import AsyncIterator, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import PurePosixPath
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from evenhand.desk.archives import is_archive, members_of
from evenhand.desk.bringing import Bringing
from evenhand.desk.confirming import confirm_said
from evenhand.desk.dropping import Dropped, drop_file, sentence
from evenhand.desk.pages.drop import MOST_BYTES, MOST_WORDS, answer_of, brought_page, in_order
from evenhand.desk.pages.inbox import KINDS, ROLES
from evenhand.desk.spool import TooLarge
from evenhand.desk.staging import ARCHIVE, add_file, begin_study, clear, new_place, place_of
from evenhand.errors import BadRecord, EvenhandError
from evenhand.web.column_fields import columns_said
from evenhand.web.drops import Dropping, Drops, begin, work_of
from evenhand.web.forms import Sent, typed
from evenhand.web.showing import show
from evenhand.web.site import By, Here, Site
from evenhand.web.trouble import status_of

router = APIRouter(prefix="/drop", include_in_schema=False)

STUDY = "study.toml"
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


@router.get("")
def zone(request: Request) -> Response:
    """A place to drop things, and a form that does the same."""
    return show(request, "dropped.html", answer="", files=())


@router.post("")
def drop(visit: Visiting, sent: Form) -> Response:
    """Takes files in: each a log, an archive, or one of a study's folder."""
    files, study = files_in(sent), typed(sent, "study")
    try:
        there = next((each for each in files if PurePosixPath(named(each)).name == STUDY), None)
        if there is not None:
            return begun(visit, whole_study(visit, files, there))
        came = [one(visit, each, study=study) for each in files]
    except EvenhandError as trouble:
        return told(visit, trouble)
    if visit.program:
        return JSONResponse([as_told(each) for each in came])
    return show(visit.request, "dropped.html", answer=answer_of(came), files=in_order(came))


def one(visit: Visit, file: UploadFile, *, study: str) -> Dropped:
    """One file: a log lands or waits, an archive is begun to be unpacked."""
    site, name = visit.site, named(file)
    if not is_archive(file.file.read(4)):
        file.file.seek(0)
        return drop_file(site.wb, file.file.read(), name=name, study=study, by=visit.by, now=site.now())
    try:
        number = staged_archive(site, file, name=name)
    except BadRecord as trouble:
        return Dropped(name=name, sort="refused", words=words_of(trouble))
    begin(visit.request, site, number, Bringing(name=name, by=visit.by, now=site.now(), study=study))
    return Dropped(name=name, sort="begun", words="It is being unpacked.", address=f"/drop/{number}")


def staged_archive(site: Site, file: UploadFile, *, name: str) -> str:
    """An archive, looked through and ready to be unpacked; its number. Raises BadRecord."""
    number, folder = new_place(site.wb, now=site.now())
    file.file.seek(0)
    with (folder / ARCHIVE).open("wb") as kept:
        shutil.copyfileobj(file.file, kept, 2**20)
    try:
        members_of(folder / ARCHIVE, name=name)
    except BadRecord:
        clear(site.wb, number)
        raise
    return number


def whole_study(visit: Visit, files: list[UploadFile], study_file: UploadFile) -> str:
    """A study's folder that came in one form; its number. Raises BadRecord."""
    stage = begin_study(visit.site.wb, study_file.file.read(), now=visit.site.now())
    root = PurePosixPath(named(study_file)).parent
    for name, file in below(root, files):
        if name in stage.wanted or name in stage.also:
            add_file(visit.site.wb, stage.id, name, file.file)
    begin(visit.request, visit.site, stage.id, Bringing(name=stage.title, by=visit.by, now=visit.site.now()))
    return stage.id


def below(root: PurePosixPath, files: list[UploadFile]) -> Iterator[tuple[str, UploadFile]]:
    """Each file with its name from the study's folder on; others belong elsewhere."""
    for file in files:
        path = PurePosixPath(named(file))
        if path.is_relative_to(root):
            yield path.relative_to(root).as_posix(), file


@router.post("/study")
def study(visit: Visiting, sent: Form) -> Response:
    """Takes a study file in, and says which files it names: they are sent next."""
    files = files_in(sent)
    try:
        if not files:
            raise BadRecord("no study file was sent", todo="drop the study's folder again")
        stage = begin_study(visit.site.wb, files[0].file.read(), now=visit.site.now())
    except EvenhandError as trouble:
        return told(visit, trouble)
    return JSONResponse(
        {"id": stage.id, "title": stage.title, "wanted": list(stage.wanted), "also": list(stage.also)}
    )


@router.post("/{number}/file")
def add(visit: Visiting, number: str, sent: Form) -> Response:
    """Takes in one file that a study file names."""
    try:
        for file in files_in(sent):
            add_file(visit.site.wb, number, named(file), file.file)
    except EvenhandError as trouble:
        return told(visit, trouble)
    return JSONResponse({})


@router.post("/{number}/begin")
def bring(visit: Visiting, drops: Dropping, number: str) -> Response:
    """Brings in what was sent, once all of it is here; once more where it was stopped."""
    try:
        about = drops.about.get(number) or Bringing(name="", by=visit.by, now=visit.site.now())
        begin(visit.request, visit.site, number, replace(about, now=visit.site.now()))
    except EvenhandError as trouble:
        return told(visit, trouble)
    return begun(visit, number)


@router.post("/{number}/stop")
def stop(request: Request, number: str) -> RedirectResponse:
    """Stops it at its next step."""
    work = work_of(request, number)
    if work is not None:
        work.stop()
        work.wait(5.0)
    return RedirectResponse(f"/drop/{number}", status_code=303)


@router.get("/{number}")
def progress(visit: Visiting, drops: Dropping, number: str) -> Response:
    """How far it is; once it is here, what came of it."""
    return page_of(visit, drops, number)


@router.post("/{number}/columns")
def confirm(visit: Visiting, drops: Dropping, number: str, sent: Sent) -> Response:
    """Remembers what the columns of one header are; after the last one the study comes in once more."""
    brought, at = drops.brought.get(number), typed(sent, "question")
    asked = {str(n): each for n, each in enumerate(brought.questions)} if brought else {}
    if brought is None or at not in asked:
        return RedirectResponse(f"/drop/{number}", status_code=303)  # somebody has answered it meanwhile
    try:
        kind, columns = columns_said(sent)
        confirm_said(visit.site.wb, asked[at], kind, columns, now=visit.site.now())
    except BadRecord as trouble:
        wrong = Wrong(at=int(at), words=str(trouble), sent=dict(sent.items()))
        return page_of(visit, drops, number, wrong=wrong)
    open_still = tuple(each for n, each in asked.items() if n != at)
    drops.keep(number, replace(brought, questions=open_still))
    return RedirectResponse(f"/drop/{number}", status_code=303) if open_still else bring(visit, drops, number)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """Columns that cannot be so: of which header, why, and what was typed."""

    at: int
    words: str
    sent: Mapping[str, object]


def page_of(visit: Visit, drops: Drops, number: str, *, wrong: Wrong | None = None) -> Response:
    """The page about what was dropped. Raises NotFound where nothing was, or it is long brought in."""
    work, brought = work_of(visit.request, number), drops.brought.get(number)
    if brought is None and work is None:
        place_of(visit.site.wb, number)
    return show(
        visit.request,
        "brought.html",
        status=422 if wrong else 200,
        number=number,
        work=work,
        page=brought_page(brought) if brought is not None else None,
        kinds=KINDS,
        roles=ROLES,
        wrong_at=wrong.at if wrong else None,
        wrong=wrong.words if wrong else "",
        sent=wrong.sent if wrong else {},
    )


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


def as_told(each: Dropped) -> dict[str, str]:
    """One file, for the page's script."""
    return {"name": each.name, "sort": each.sort, "words": each.words, "address": each.address}


def files_in(sent: FormData) -> list[UploadFile]:
    """The files of a form; fields in which none was chosen are left out."""
    return [each for each in sent.getlist("files") if isinstance(each, UploadFile) and each.filename]


def named(file: UploadFile) -> str:
    """What a file is called, from the dropped folder on."""
    return (file.filename or "log").replace("\\", "/").lstrip("/")
