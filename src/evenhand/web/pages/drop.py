"""Files, folders and archives that are dropped on a page or chosen in its form."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import PurePosixPath

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response
from starlette.datastructures import UploadFile

from evenhand.desk.logs.archives import is_archive, members_of
from evenhand.desk.logs.bringing import Bringing
from evenhand.desk.logs.dropping import Dropped, drop_file
from evenhand.desk.logs.staging import ARCHIVE, add_file, begin_study, clear, new_place
from evenhand.desk.pages.drop import answer_of, in_order
from evenhand.errors import BadRecord, EvenhandError
from evenhand.web.dropping import Form, Visit, Visiting, begun, files_in, named, told, words_of
from evenhand.web.drops import begin
from evenhand.web.forms import typed
from evenhand.web.served import Site
from evenhand.web.showing import show

router = APIRouter(prefix="/drop", include_in_schema=False)

STUDY = "study.toml"


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


def as_told(each: Dropped) -> dict[str, str]:
    """One file, for the page's script."""
    return {"name": each.name, "sort": each.sort, "words": each.words, "address": each.address}
