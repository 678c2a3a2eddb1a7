"""Photos of builds for programs: the same functions that pages use."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, File, Form, Path, Request, UploadFile
from fastapi.responses import Response
from pydantic import BaseModel, ConfigDict, Field

from evenhand.desk.study import photos
from evenhand.desk.study.photos import MOST_ALT, MOST_CAPTION, GivenPhoto, Told, photo_answer, photo_words
from evenhand.records.photos import PhotoWords
from evenhand.web.hidden import HIDDEN
from evenhand.web.photo_answer import picture_answer
from evenhand.web.site import By, Here

router = APIRouter(prefix="/api/builds/{build}/photos", tags=["Photos"])

Number = Annotated[int, Path(ge=1, le=2**62)]
Alt = Annotated[str, Field(max_length=MOST_ALT, description="What it shows, for who cannot see it.")]
Caption = Annotated[str, Field(max_length=MOST_CAPTION)]
Day = Annotated[str, Field(max_length=40, description="The day, as in 2031-05-04; empty where nobody knows.")]

UNKNOWN: dict[int | str, dict[str, Any]] = {
    404: {"description": "There is no such build, or it has no such photo."},
    **HIDDEN,
}
REFUSED: dict[int | str, dict[str, Any]] = {
    **UNKNOWN,
    422: {"description": "This is no picture that can be used, or what is said of it cannot."},
}
PICTURE: dict[int | str, dict[str, Any]] = {
    **UNKNOWN,
    200: {
        "description": "The picture, without what its camera noted.",
        "content": {
            kind: {"schema": {"type": "string", "format": "binary"}}
            for kind in ("image/jpeg", "image/png", "image/webp")
        },
    },
}


class Saying(BaseModel):
    """What is said of a photo; what is left out is emptied."""

    model_config = ConfigDict(extra="forbid")

    alt: Alt = ""
    caption: Caption = ""
    taken_on: Day = ""


def words_sent(
    alt: Annotated[Alt, Form()] = "",
    caption: Annotated[Caption, Form()] = "",
    taken_on: Annotated[Day, Form()] = "",
) -> PhotoWords:
    """What is said of a photo, sent as fields beside its file. Raises BadRecord."""
    return photo_words(alt=alt, caption=caption, taken_on=taken_on)


@router.get("", responses=UNKNOWN)
def every(site: Here, build: str) -> dict[str, Any]:
    """The photos on a build's page, in the shape of `evenhand photos --json`."""
    return {"build": build, "photos": [photo_answer(each) for each in photos.photos_of(site.wb, build)]}


@router.post("", responses=REFUSED)
def add(
    site: Here,
    by: By,
    build: str,
    file: Annotated[UploadFile, File(description="A JPEG, PNG or WebP.")],
    words: Annotated[PhotoWords, Depends(words_sent)],
) -> dict[str, Any]:
    """Keeps a photo; the very same picture of this build again is the one on record (`again`)."""
    given = GivenPhoto(data=file.file.read(), name=file.filename or "photo", words=words)
    kept = photos.add_photo(site.wb, build, given, Told(by=by, now=site.now()))
    return {"photo": photo_answer(kept.photo), "again": kept.again}


@router.put("/{number}", responses=REFUSED)
def describe(site: Here, by: By, build: str, number: Number, sent: Saying) -> dict[str, Any]:
    """What is said of a photo from now on; what was said before stays on record."""
    found = photos.photo_of(site.wb, build, number)
    words = photo_words(alt=sent.alt, caption=sent.caption, taken_on=sent.taken_on)
    return {"photo": photo_answer(photos.describe(site.wb, found, words, Told(by=by, now=site.now())))}


@router.delete("/{number}", responses=UNKNOWN)
def take_away(site: Here, by: By, build: str, number: Number) -> dict[str, Any]:
    """Takes a photo off the page; it stays on record, and `POST …/back` puts it back."""
    found = photos.photo_of(site.wb, build, number)
    return {"photo": photo_answer(photos.take_away(site.wb, found, Told(by=by, now=site.now())))}


@router.post("/{number}/back", responses=UNKNOWN)
def put_back(site: Here, by: By, build: str, number: Number) -> dict[str, Any]:
    """Puts a photo that was taken away back on the page."""
    found = photos.photo_of(site.wb, build, number)
    return {"photo": photo_answer(photos.put_back(site.wb, found, Told(by=by, now=site.now())))}


@router.get("/{number}/picture", responses=PICTURE, response_class=Response)
def picture(request: Request, site: Here, build: str, number: Number) -> Response:
    """The picture as it may be shown."""
    found = photos.photo_of(site.wb, build, number)
    return picture_answer(request, found.media, photos.shown(site.wb, found).data, mark=found.digest)
