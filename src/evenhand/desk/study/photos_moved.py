"""Photos of builds between a workbench and a study's folder."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from evenhand.desk.study.photos import GivenPhoto, Told, checked, keep_new, same_picture, say, shown
from evenhand.errors import BadRecord
from evenhand.folders.study_folder import PhotoEntry
from evenhand.images.picture import MOST_BYTES
from evenhand.images.reading import ENDINGS, read_picture
from evenhand.records.photos import BuildPhoto
from evenhand.store import photos as photo_store
from evenhand.store.workbench import Workbench

FROM_FOLDER = "folder"


def take_in_photos(
    wb: Workbench, folder: Path, photos: Iterable[PhotoEntry], *, now: datetime
) -> Iterator[tuple[str, str]]:
    """The photos that a folder brings; each that could not be used by its file, with the reason.

    One that is on record already is known by what it shows: its words are the folder's from then on, and
    where it was taken away it stays so.
    """
    told = Told(by=FROM_FOLDER, now=now)
    for entry in photos:
        try:
            _take_in(wb, entry, photo_bytes(folder / entry.file), told)
        except BadRecord as wrong:
            yield entry.file, f"{wrong.found}; {wrong.todo}"


def _take_in(wb: Workbench, entry: PhotoEntry, data: bytes, told: Told) -> None:
    picture, words = read_picture(data), checked(entry.words)
    with wb.writing():
        same = same_picture(wb, entry.build, picture)
        if same is None:
            given = GivenPhoto(data=data, name=entry.file, words=words)
            keep_new(wb, entry.build, given, told)
        elif not same.away:
            say(wb, replace(same, words=words), told)


def photo_bytes(path: Path) -> bytes:
    """The bytes of a file that should be a photo, as many as one may have. Raises BadRecord."""
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise BadRecord(
            f"cannot be read ({error.strerror})", where=str(path), todo="check its name and its rights"
        ) from error


def photo_entries(
    wb: Workbench, builds: Iterable[str], name: Callable[[str], str]
) -> tuple[tuple[PhotoEntry, BuildPhoto], ...]:
    """The photos of these builds as a study file tells them; `name` makes a name one that is free.

    Names that a phone gave are not written: they may tell a day or a place.
    """
    return tuple(
        (PhotoEntry(build=photo.build, file=name(f"photos/{file}"), words=photo.words), photo)
        for build in builds
        for file, photo in _numbered(build, photo_store.photos_of(wb, [build]))
    )


def _numbered(build: str, photos: Iterable[BuildPhoto]) -> Iterator[tuple[str, BuildPhoto]]:
    for number, photo in enumerate(photos, start=1):
        yield f"{build}-{number}.{ENDINGS[photo.media]}", photo


def write_photos(wb: Workbench, folder: Path, photos: Iterable[tuple[PhotoEntry, BuildPhoto]]) -> int:
    """What may be shown of each into its file, one in memory at a time; how many bytes."""
    total = 0
    for entry, photo in photos:
        path = folder / entry.file
        path.parent.mkdir(parents=True, exist_ok=True)
        total += path.write_bytes(shown(wb, photo).data)
    return total
