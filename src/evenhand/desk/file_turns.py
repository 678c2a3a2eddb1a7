"""Of two new files of a folder that may be runs of one setup, the one begun first is filed first."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from evenhand.desk.columns import LOOK_BYTES
from evenhand.desk.folder_files import FileNow
from evenhand.desk.inbox import kind_of_beginning
from evenhand.desk.matching import Proposal, propose
from evenhand.desk.watching import BY, about_of
from evenhand.records.plans import Arrival
from evenhand.records.watches import WatchedFolder
from evenhand.store.workbench import Workbench


def is_in_turn(
    wb: Workbench, watch: WatchedFolder, file: FileNow, *, ahead: Iterable[FileNow], now: datetime
) -> bool:
    """Whether a whole file may be taken: none of those `ahead`, begun earlier, may be a run of its setup.

    Taken before one of those, it would be filed in its place.
    """
    earlier = tuple(ahead)
    if not earlier:
        return True
    own = _expected(wb, watch, file, now)
    if not own.sure:  # it waits in the inbox, and takes no place
        return True
    return not any(_alike(own, _expected(wb, watch, each, now)) for each in earlier)


def _alike(own: Proposal, other: Proposal) -> bool:
    return other.sure and (own.study, own.setup) == (other.study, other.setup)


def _expected(wb: Workbench, watch: WatchedFolder, file: FileNow, now: datetime) -> Proposal:
    """The run that a file would be filed as if it were whole now."""
    came = Arrival(digest="", name=file.key, by=BY, at=now, about=about_of(watch))
    return propose(wb, came, kind=kind_of_beginning(wb, _beginning(watch, file), file.key))


def _beginning(watch: WatchedFolder, file: FileNow) -> bytes:
    try:
        with (Path(str(watch.folder)) / file.path).open("rb") as opened:
            return opened.read(LOOK_BYTES)
    except OSError:
        return b""
