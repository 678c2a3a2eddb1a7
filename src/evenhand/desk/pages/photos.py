"""The photos of a build as pages show them: small on the builds page, each with a larger view of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from urllib.parse import quote

from evenhand.desk.bench.hiding import NamesHidden
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.study import photos
from evenhand.desk.study.photos import LIMITS, MOST_ALT, MOST_CAPTION, MOST_PHOTOS, STRIPPED
from evenhand.errors import NotFound
from evenhand.images.reading import ENDINGS
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import capital, counted
from evenhand.records.builds import Build
from evenhand.records.photos import BuildPhoto
from evenhand.store.workbench import Workbench

CLOSED = "Photos are closed while names are hidden: they would tell which build is which."


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoShown:
    """One photo: its page, its picture, and what is said of it.

    `alt` is what stands in for it; `described` says whether that is a person's own description. `below` is
    the line under it. The rest is what stands in its form.
    """

    number: int
    place: str
    picture: str
    alt: str
    described: bool
    below: str
    given_alt: str = ""
    given_caption: str = ""
    given_day: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Album:
    """The photos of one build and where more are sent; `closed` says why none is shown, "" where they are.

    `gone` is the photo that was just taken away, which can be put back.
    """

    build: str
    name: str
    slot: int
    place: str
    photos: tuple[PhotoShown, ...] = ()
    closed: str = ""
    full: bool = False
    gone: PhotoShown | None = None
    limits: str = LIMITS
    stripped: str = STRIPPED
    most_alt: int = MOST_ALT
    most_caption: int = MOST_CAPTION


@dataclass(frozen=True, slots=True, kw_only=True)
class AlbumPage:
    """The photos of one build on a page of their own, on which a phone may add some."""

    frame: Frame
    answer: str
    album: Album
    back: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPage:
    """One photo, large; `before` and `after` are the addresses of its neighbours, "" at the ends."""

    frame: Frame
    answer: str
    album: Album
    photo: PhotoShown
    away: bool
    before: str
    after: str
    back: str


def album_of(wb: Workbench, study: str, build: Build, *, gone: int | None = None) -> Album:
    """The photos of a build on a study's pages; `gone` is the number of one that was just taken away."""
    place = album_address(study, build.key)
    album = Album(build=build.key, name=build.name, slot=build.slot, place=place)
    try:
        every = photos.photos_of(wb, build.key)
    except NamesHidden:
        return replace(album, closed=CLOSED)
    away = None if gone is None else photos.photo_of(wb, build.key, gone)
    return replace(
        album,
        photos=shown_of(place, build, every),
        full=len(every) >= MOST_PHOTOS,
        gone=photo_shown(place, build, away, at=0) if away is not None and away.away else None,
    )


def albums_in(record: StudyOnRecord) -> tuple[tuple[str, str], ...]:
    """Each build of a study by name, with the address of its photos."""
    return tuple((build.name, album_address(record.study.key, build.key)) for build in record.builds.values())


def album_address(study: str, build: str) -> str:
    """Where the photos of a build are."""
    return address(study, "builds", build, "photos")


def shown_of(place: str, build: Build, every: Sequence[BuildPhoto]) -> tuple[PhotoShown, ...]:
    """Photos as they are shown, numbered from 1 in what stands in for those that nobody described."""
    return tuple(photo_shown(place, build, photo, at=at) for at, photo in enumerate(every, start=1))


def photo_shown(place: str, build: Build, photo: BuildPhoto, *, at: int) -> PhotoShown:
    """One photo; `at` is its place among those of the build, 0 for one that is not among them."""
    words, day = photo.words, photo.words.taken_on
    own = f"{place}/{photo.id}"
    taken = f"Taken on {day_words(day)}" if day else ""
    return PhotoShown(
        number=photo.id,
        place=own,
        picture=f"{own}/picture.{ENDINGS[photo.media]}",
        alt=words.alt or f"{f'Photo {at}' if at else 'A photo'} of {isolated(build.name)}, not described yet",
        described=bool(words.alt),
        below=" · ".join(filter(None, (words.caption, taken))),
        given_alt=words.alt,
        given_caption=words.caption,
        given_day=day.isoformat() if day else "",
    )


def album_page(wb: Workbench, study: str, build: str, *, gone: int | None = None) -> AlbumPage:
    """The photos of one build of a study. Raises NotFound."""
    record = load_study(wb, study)
    album = album_of(wb, study, build_in(record, build), gone=gone)
    return AlbumPage(
        frame=frame_of(record, "builds"),
        answer=album_words(album),
        album=album,
        back=f"{address(study, 'builds')}#photos-{quote(build)}",
    )


def album_words(album: Album) -> str:
    """What the page opens with."""
    if album.closed:
        return album.closed
    if not album.photos:
        return f"No photo of {album.name} yet."
    bare = sum(not photo.described for photo in album.photos)
    said = f"{capital(counted(len(album.photos), 'photo'))} of {album.name}"
    if not bare:
        return f"{said}."
    return f"{said}; {counted(bare, 'is', 'are')} not described yet."


def photo_page(wb: Workbench, study: str, build: str, number: int) -> PhotoPage:
    """One photo, large. Raises NotFound, and NamesHidden while names are hidden."""
    record = load_study(wb, study)
    own = build_in(record, build)
    photo = photos.photo_of(wb, build, number)
    album = album_of(wb, study, own)
    numbers = [each.number for each in album.photos]
    at = numbers.index(number) if number in numbers else -1
    neighbours = ("" if at <= 0 else album.photos[at - 1].place, "" if at < 0 else _next(album, at))
    return PhotoPage(
        frame=frame_of(record, "builds"),
        answer=f"{own.name}, photo {at + 1} of {len(numbers)}" if at >= 0 else f"A photo of {own.name}",
        album=album,
        photo=photo_shown(album.place, own, photo, at=at + 1),
        away=photo.away,
        before=neighbours[0],
        after=neighbours[1],
        back=f"{address(study, 'builds')}#photos-{quote(build)}",
    )


def _next(album: Album, at: int) -> str:
    return album.photos[at + 1].place if at + 1 < len(album.photos) else ""


def build_in(record: StudyOnRecord, build: str) -> Build:
    """A build of the study. Raises NotFound."""
    found = record.builds.get(build)
    if found is None:
        raise NotFound(f"this study has no build '{build}'", where=record.study.title, todo="see its builds")
    return found


def sentence(found: str) -> str:
    """What was found as the beginning of a sentence."""
    return capital(found)
