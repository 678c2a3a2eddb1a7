"""Photos of builds: only ever added to. What is said of one last stands; one taken away stays on record."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from evenhand.errors import NotFound
from evenhand.records.photos import BuildPhoto, PhotoWords
from evenhand.store.rows import Row, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_LAST = """
SELECT p.id, p.build, p.digest, p.name, p.media, p."by", p.at, w.alt, w.caption, w.taken_on, w.away
FROM build_photos p
JOIN build_photo_words w ON w.id = (SELECT max(id) FROM build_photo_words WHERE photo = p.id)
"""


def add_photo(wb: Workbench, photo: BuildPhoto) -> BuildPhoto:
    """Puts a photo on record with what is said of it; its bytes must be kept already.

    The photo with its number. Raises BadRecord where its build is not on record.
    """
    row: Row = {
        "build": photo.build,
        "digest": photo.digest,
        "name": photo.name,
        "media": photo.media,
        "by": photo.by,
        "at": photo.at.isoformat(),
    }
    with wb.writing() as conn:
        number = insert(conn, "build_photos", row)
        seal(conn, "build_photos", number)
        kept = replace(photo, id=number)
        say_of(wb, kept, by=photo.by, at=photo.at)
    return kept


def say_of(wb: Workbench, photo: BuildPhoto, *, by: str, at: datetime) -> None:
    """From now on `photo.words` and `photo.away` stand; what stood before stays on record."""
    day = photo.words.taken_on
    row: Row = {
        "photo": photo.id,
        "alt": photo.words.alt,
        "caption": photo.words.caption,
        "taken_on": None if day is None else day.isoformat(),
        "away": int(photo.away),
        "by": by,
        "at": at.isoformat(),
    }
    with wb.writing() as conn:
        seal(conn, "build_photo_words", insert(conn, "build_photo_words", row))


def photos_of(wb: Workbench, builds: Iterable[str], *, ever: bool = False) -> tuple[BuildPhoto, ...]:
    """The photos on the pages of these builds, the first first; with `ever` those taken away, too."""
    shown = "" if ever else "AND NOT w.away"
    with wb.reading() as conn:
        rows = conn.execute(
            f"{_LAST} WHERE p.build IN (SELECT value FROM json_each(?)) {shown} ORDER BY p.id",  # noqa: S608
            (as_text(tuple(builds)),),
        )
        return tuple(map(photo_from, rows))


def photo(wb: Workbench, number: int) -> BuildPhoto:
    """The photo of this number, taken away or not. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute(f"{_LAST} WHERE p.id = ?", (number,)).fetchone()
    if row is None:
        raise NotFound(f"there is no photo {number}", where=str(wb.path), todo="see the photos of the build")
    return photo_from(row)


def photo_from(row: sqlite3.Row) -> BuildPhoto:
    """The photo that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"photo {row['id']}"):
        day = row["taken_on"]
        words = PhotoWords(
            alt=row["alt"], caption=row["caption"], taken_on=None if day is None else date.fromisoformat(day)
        )
        return BuildPhoto(
            id=row["id"],
            build=row["build"],
            digest=row["digest"],
            name=row["name"],
            media=row["media"],
            by=row["by"],
            at=datetime.fromisoformat(row["at"]),
            words=words,
            away=bool(row["away"]),
        )
