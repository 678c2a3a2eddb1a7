"""Open the workbench: the one in the user's data folder, or any file that is named."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from datetime import UTC, datetime
from pathlib import Path

import platformdirs

from evenhand import __version__
from evenhand.store.workbench import Workbench, open_to_read, open_workbench

CODE_VERSION = __version__

Desk = Workbench
"""An opened workbench as shells hold it: something to hand on to the functions of this room."""


def default_place() -> Path:
    """Where the workbench lies when nobody says otherwise."""
    return platformdirs.user_data_path("evenhand") / "workbench.evenhand"


def open_desk(path: Path | None = None, *, create: bool = True) -> Workbench:
    """The workbench at `path`, or the default one. Raises StoreProblem in words.

    Without `create` one that may only be read here is opened as well: what would change it is refused then.
    """
    place = path or default_place()
    wb = open_workbench(place) if create else open_to_read(place)
    wb.clock = lambda: present()  # noqa: PLW0108 - the shell's clock, whichever that is by then
    return wb


def open_if_there(path: Path | None = None) -> AbstractContextManager[Workbench | None]:
    """The workbench to be looked at, or None where there is none yet: nothing is made for a look."""
    place = path or default_place()
    there = place.exists() and place.stat().st_size > 0
    return open_desk(place, create=False) if there else nullcontext()


def present() -> datetime:
    """The time now, in UTC: shells pass it in, so that everything below is repeatable."""
    return datetime.now(UTC)


def own_clock(at: datetime) -> datetime:
    """A moment by this computer's clock, summer time and all: shells pass it in, as they do the time now."""
    return at.astimezone()
