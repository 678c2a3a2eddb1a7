"""Workbenches of one's own, copied from what is made once for all tests."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

from evenhand.desk.opening import Desk, open_desk


def copy_of(file: Path, place: Path) -> Iterator[Desk]:
    """A copy of a workbench at a place, open as long as whoever asked for it needs it."""
    shutil.copy(file, place)
    with open_desk(place) as opened:
        yield opened
