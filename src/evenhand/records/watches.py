"""A folder on the workbench machine in which logs appear, and what was seen in it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchedFolder:
    """A folder whose new files come in by themselves. The last one of a study stands.

    `study` is None where files of any study appear; `folder` None where watching was ended. `id` is 0 before
    it is on record.
    """

    study: str | None
    folder: str | None
    by: str
    at: datetime
    id: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFile:
    """A file of a watched folder as it was when it was taken, or when watching began.

    `path` runs from the folder; `bytes` and `changed_ns` (time of change, ns since 1970) tell whether it is
    the same still. `arrival` is what it became: None where it lay there before, or could not be used, with
    the reason in `note`.
    """

    watch: int
    path: str
    bytes: int
    changed_ns: int
    at: datetime
    arrival: int | None = None
    note: str = ""
