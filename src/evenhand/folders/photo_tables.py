"""Photos of builds in a study file: the table, and there and back."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from evenhand.folders.study_folder import PhotoEntry
from evenhand.folders.table import FileName, Table
from evenhand.folders.worth_tables import Day
from evenhand.records.photos import PhotoWords


class PhotoTable(Table):
    """[[builds.photos]]: a photo of a build."""

    file: FileName
    alt: str = ""
    caption: str = ""
    taken_on: Day | None = None


def photos_of(build: str, tables: Iterable[PhotoTable]) -> tuple[PhotoEntry, ...]:
    """The photos of one build."""
    return tuple(
        PhotoEntry(
            build=build,
            file=table.file,
            words=PhotoWords(alt=table.alt, caption=table.caption, taken_on=table.taken_on),
        )
        for table in tables
    )


def photo_table(entry: PhotoEntry) -> dict[str, Any]:
    """One photo."""
    words = entry.words
    told = {"file": entry.file, "alt": words.alt, "caption": words.caption, "taken_on": words.taken_on}
    return {key: value for key, value in told.items() if value}
