"""Photos of builds: keep them, describe them, take them off the page and put them back."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from evenhand.desk.bench.hiding import refuse_hidden_study
from evenhand.desk.logs.identity import digest
from evenhand.desk.study.used_by import users_of
from evenhand.errors import BadRecord, NotFound
from evenhand.images.picture import MOST_BYTES, MOST_PIXELS, TAKEN, Picture
from evenhand.images.reading import read_picture
from evenhand.records.builds import Build
from evenhand.records.photos import NO_WORDS, BuildPhoto, PhotoWords
from evenhand.store import originals, shelves
from evenhand.store import photos as photo_store
from evenhand.store.workbench import Workbench

MOST_PHOTOS = 40  # of one build: a page shows them all
MOST_ALT, MOST_CAPTION = 1000, 500

LIMITS = f"{TAKEN}, at most {MOST_BYTES // 2**20} MB and {MOST_PIXELS // 10**6} million pixels each."
STRIPPED = (
    "Place, time, device, thumbnail and colour profile that a camera wrote into a file are neither shown nor "
    "exported. The file as it came stays in the workbench and its backups."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenPhoto:
    """A photo as somebody brings it: its bytes, the name of its file, and what is said of it."""

    data: bytes
    name: str
    words: PhotoWords = NO_WORDS


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoKept:
    """A photo that is on record now; `again` where the very same picture of this build was there before."""

    photo: BuildPhoto
    again: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Who says something of a photo, and when."""

    by: str
    now: datetime


def photo_words(*, alt: str = "", caption: str = "", taken_on: str = "") -> PhotoWords:
    """What is said of a photo, as it was typed. Raises BadRecord that names the field.

    >>> photo_words(alt=" The open  side ", taken_on="2031-05-04")
    PhotoWords(alt='The open side', caption='', taken_on=datetime.date(2031, 5, 4))
    """
    try:
        day = date.fromisoformat(taken_on.strip()) if taken_on.strip() else None
    except ValueError:
        raise BadRecord(
            f"'{taken_on.strip()[:40]}' is no day", where="taken_on", todo="write it as in 2031-05-04"
        ) from None
    return checked(PhotoWords(alt=" ".join(alt.split()), caption=" ".join(caption.split()), taken_on=day))


def checked(words: PhotoWords) -> PhotoWords:
    """The words, where they are not too many. Raises BadRecord that names the field."""
    for field, text, most in (("alt", words.alt, MOST_ALT), ("caption", words.caption, MOST_CAPTION)):
        if len(text) > most:
            raise BadRecord(
                f"this is {len(text):,} signs long", where=field, todo=f"say it in {most:,} at most"
            )
    return words


def add_photo(wb: Workbench, build: str, given: GivenPhoto, told: Told) -> PhotoKept:
    """Keeps a photo of a build; the very same picture again is the one on record, back on the page.

    Raises BadRecord where it is no picture, is too large, or the build has as many as a page shows; NotFound
    where there is no such build; NamesHidden while names of builds are hidden.
    """
    refuse_hidden_build(wb, build)
    picture = read_picture(given.data)
    with wb.writing():
        same = same_picture(wb, build, picture)
        if same is not None:
            words = filled(same.words, given.words)
            return PhotoKept(photo=say(wb, replace(same, words=words, away=False), told), again=True)
        return PhotoKept(photo=keep_new(wb, build, given, told), again=False)


def keep_new(wb: Workbench, build: str, given: GivenPhoto, told: Told) -> BuildPhoto:
    """A photo whose bytes were looked at, onto the record. Raises BadRecord where the build has too many."""
    if len(photo_store.photos_of(wb, [build])) >= MOST_PHOTOS:
        raise BadRecord(
            f"the build has {MOST_PHOTOS} photos already", where=build, todo="take one away before"
        )
    mark, name = digest(given.data), given.name or "photo"
    originals.keep(wb, given.data, name=name, digest=mark)
    return photo_store.add_photo(
        wb,
        BuildPhoto(
            build=build, digest=mark, name=name, media=read_picture(given.data).media, by=told.by,
            at=told.now, words=checked(given.words),
        ),
    )  # fmt: skip


def same_picture(wb: Workbench, build: str, picture: Picture) -> BuildPhoto | None:
    """The photo of this build, taken away or not, that shows the very same, whatever its camera noted."""
    ever = photo_store.photos_of(wb, [build], ever=True)
    return next((photo for photo in ever if mark_of(shown(wb, photo)) == mark_of(picture)), None)


def mark_of(picture: Picture) -> str:
    """What a picture is known by: the hash of what is shown of it."""
    return hashlib.sha256(picture.data).hexdigest()


def filled(before: PhotoWords, given: PhotoWords) -> PhotoWords:
    """What stood of a photo, with what is newly said in its place."""
    return PhotoWords(
        alt=given.alt or before.alt,
        caption=given.caption or before.caption,
        taken_on=given.taken_on or before.taken_on,
    )


def describe(wb: Workbench, photo: BuildPhoto, words: PhotoWords, told: Told) -> BuildPhoto:
    """From now on these words stand; what stood before stays on record."""
    return say(wb, replace(photo, words=checked(words)), told)


def take_away(wb: Workbench, photo: BuildPhoto, told: Told) -> BuildPhoto:
    """Takes a photo off the page; it stays on record and can be put back."""
    return say(wb, replace(photo, away=True), told)


def put_back(wb: Workbench, photo: BuildPhoto, told: Told) -> BuildPhoto:
    """Puts a photo that was taken away back on the page."""
    return say(wb, replace(photo, away=False), told)


def say(wb: Workbench, photo: BuildPhoto, told: Told) -> BuildPhoto:
    """Writes down what stands of a photo, where it is anything new."""
    with wb.writing():
        before = photo_store.photo(wb, photo.id)
        if (before.words, before.away) != (photo.words, photo.away):
            photo_store.say_of(wb, photo, by=told.by, at=told.now)
    return photo


def photos_of(wb: Workbench, build: str) -> tuple[BuildPhoto, ...]:
    """The photos on a build's page, the first first. Raises NotFound and NamesHidden."""
    refuse_hidden_build(wb, build)
    return photo_store.photos_of(wb, [build])


def photo_of(wb: Workbench, build: str, number: int) -> BuildPhoto:
    """One photo of a build, taken away or not. Raises NotFound and NamesHidden."""
    refuse_hidden_build(wb, build)
    found = photo_store.photo(wb, number)
    if found.build != build:
        raise NotFound(f"there is no photo {number} of this build", where=build, todo="see its photos")
    return found


def shown(wb: Workbench, photo: BuildPhoto) -> Picture:
    """What may be shown and exported of a photo: the same pixels, without what its camera noted."""
    return read_picture(originals.original(wb, photo.digest))


def refuse_hidden_build(wb: Workbench, build: str) -> None:
    """Raises NamesHidden while a study that this build is in hides names; NotFound where there is no such."""
    for study in users_of(wb, shelves.one(wb, Build, build)):
        refuse_hidden_study(wb, study.key)


def photo_answer(photo: BuildPhoto) -> dict[str, Any]:
    """A photo for programs, as docs/formats-json.md says."""
    day = photo.words.taken_on
    return {
        "number": photo.id,
        "build": photo.build,
        "name": photo.name,
        "media": photo.media,
        "alt": photo.words.alt,
        "caption": photo.words.caption,
        "taken_on": day.isoformat() if day else None,
        "away": photo.away,
        "by": photo.by,
        "at": photo.at.isoformat(),
    }
