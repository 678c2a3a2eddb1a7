"""Photos of a build: add, look at one large, describe it, take it away and put it back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from evenhand.desk.pages.frame import address
from evenhand.desk.pages.photos import album_page, photo_page, sentence
from evenhand.desk.study import photos
from evenhand.desk.study.photos import GivenPhoto, Told, photo_words
from evenhand.errors import BadRecord
from evenhand.records.photos import NO_WORDS, PhotoWords
from evenhand.web.forms import Sent, typed
from evenhand.web.photo_answer import picture_answer
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import By, Here

router = APIRouter(prefix="/studies/{study}/builds/{build}/photos", include_in_schema=False)

Number = Annotated[int, Path(ge=1, le=2**62)]
Gone = Annotated[int | None, Query(ge=1, le=2**62)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One request about the photos of a build, and who asks."""

    request: Request
    site: Site
    study: str
    build: str
    by: str

    @property
    def told(self) -> Told:
        """Who says something now."""
        return Told(by=self.by, now=self.site.now())

    @property
    def album(self) -> str:
        """Where the photos are."""
        return address(self.study, "builds", self.build, "photos")


def visit_of(request: Request, site: Here, study: str, build: str, by: By) -> Visit:
    """The request."""
    return Visit(request=request, site=site, study=study, build=build, by=by)


Visiting = Annotated[Visit, Depends(visit_of)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """What was sent and not kept: the field, what is wrong with it, what to do, and what had been typed."""

    field: str
    found: str
    todo: str
    values: dict[str, str]


@router.get("")
def album(visit: Visiting, gone: Gone = None) -> Response:
    """The photos of a build, with a form for more; `gone` is one that was just taken away."""
    return album_of(visit, gone=gone)


@router.post("")
def add(visit: Visiting, sent: Sent) -> Response:
    """Keeps the photos that were sent, each by itself; of several the words are the first one's."""
    files = [each for each in sent.getlist("photo") if isinstance(each, UploadFile) and each.size]
    try:
        words = words_in(sent)
        if not files:
            raise BadRecord("no photo was chosen", where="photo", todo="choose one, or drop it on the field")
    except BadRecord as error:
        return album_of(visit, wrong=wrong_with(sent, error))
    for at, file in enumerate(files):
        given = GivenPhoto(
            data=file.file.read(), name=file.filename or "photo", words=words if at == 0 else NO_WORDS
        )
        try:
            photos.add_photo(visit.site.wb, visit.build, given, visit.told)
        except BadRecord as error:
            kept = "" if at == 0 else f" {at} of {len(files)} were kept before it."
            told = BadRecord(f"{given.name}: {error.found}", where="photo", todo=f"{error.todo}.{kept}")
            return album_of(visit, wrong=wrong_with(sent, told))
    return to(
        f"{address(visit.study, 'builds')}#photos-{visit.build}" if typed(sent, "back") else visit.album
    )


@router.get("/{number}")
def photo(visit: Visiting, number: Number) -> Response:
    """One photo, large, with its words to be changed."""
    return photo_of(visit, number)


@router.get("/{number}/picture.{ending}")
def picture(visit: Visiting, number: Number, ending: str) -> Response:  # noqa: ARG001  (its bytes say its kind)
    """The picture itself, without what its camera noted."""
    found = photos.photo_of(visit.site.wb, visit.build, number)
    data = photos.shown(visit.site.wb, found).data
    return picture_answer(visit.request, found.media, data, mark=found.digest)


@router.post("/{number}/words")
def describe(visit: Visiting, number: Number, sent: Sent) -> Response:
    """What is said of a photo from now on."""
    found = photos.photo_of(visit.site.wb, visit.build, number)
    try:
        photos.describe(visit.site.wb, found, words_in(sent), visit.told)
    except BadRecord as error:
        return photo_of(visit, number, wrong=wrong_with(sent, error))
    return to(f"{visit.album}/{number}")


@router.post("/{number}/away")
def take_away(visit: Visiting, number: Number) -> Response:
    """Takes a photo off the page; it stays on record."""
    photos.take_away(visit.site.wb, photos.photo_of(visit.site.wb, visit.build, number), visit.told)
    return to(f"{visit.album}?gone={number}")


@router.post("/{number}/back")
def put_back(visit: Visiting, number: Number) -> Response:
    """Puts it back."""
    photos.put_back(visit.site.wb, photos.photo_of(visit.site.wb, visit.build, number), visit.told)
    return to(visit.album)


def words_in(sent: FormData) -> PhotoWords:
    """What was typed of a photo. Raises BadRecord that names the field."""
    return photo_words(
        alt=typed(sent, "alt"), caption=typed(sent, "caption"), taken_on=typed(sent, "taken_on")
    )


def wrong_with(sent: FormData, error: BadRecord) -> Wrong:
    """A refusal with all that had been typed."""
    values = {name: typed(sent, name) for name in ("alt", "caption", "taken_on")}
    field = "photo" if error.where == "the photo" else error.where
    return Wrong(field=field, found=sentence(error.found), todo=error.todo, values=values)


def album_of(visit: Visit, *, wrong: Wrong | None = None, gone: int | None = None) -> Response:
    """The page of all of them."""
    page = album_page(visit.site.wb, visit.study, visit.build, gone=gone)
    return show(visit.request, "photos.html", status=422 if wrong else 200, page=page, wrong=wrong)


def photo_of(visit: Visit, number: int, *, wrong: Wrong | None = None) -> Response:
    """The page of one."""
    page = photo_page(visit.site.wb, visit.study, visit.build, number)
    return show(visit.request, "photo.html", status=422 if wrong else 200, page=page, wrong=wrong)


def to(place: str) -> Response:
    """To a page, as an address of its own."""
    return RedirectResponse(place, status_code=303)
