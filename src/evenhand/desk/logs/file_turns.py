"""Of two new files of a folder that may be runs of one setup, the one begun first is filed first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from pathlib import Path

from evenhand.desk.bench.inbox import inbox, kind_of_beginning
from evenhand.desk.bench.matching import Proposal, propose
from evenhand.desk.bench.watching import BY, about_of
from evenhand.desk.logs.columns import LOOK_BYTES
from evenhand.desk.logs.folder_files import FileNow
from evenhand.records.plans import Arrival
from evenhand.records.watches import WatchedFolder
from evenhand.store.watches import written
from evenhand.store.workbench import Workbench


def is_in_turn(
    wb: Workbench, watch: WatchedFolder, file: FileNow, *, ahead: Iterable[FileNow], now: datetime
) -> bool:
    """Whether a whole file may be taken: none of those `ahead`, begun earlier, may be a run of its setup.

    Taken before one of those, it would be filed in its place. Nor may one be the run that is to be made
    before its own: that on record, it is in order.
    """
    earlier = tuple(ahead)
    if not earlier:
        return True
    own = _expected(wb, watch, file, now)
    if not own.sure and not own.early:  # it waits in the inbox, and takes no place
        return True
    return not any(_goes_before(own, _expected(wb, watch, each, now)) for each in earlier)


def may_be_of(
    wb: Workbench, paths: Mapping[WatchedFolder, Iterable[str]], *, study: str, setup: str, now: datetime
) -> bool:
    """Whether one of the files on their way, told by folder and path, is most likely a run of this setup."""
    found = (_expected_at(wb, watch, path, now) for watch, there in paths.items() for path in there)
    return any((each.study, each.setup) == (study, setup) for each in found)


LOOKED_AT = 50  # of the newest that wait


def waiting_as(wb: Workbench, plan: int, slot: int) -> str:
    """The name of a file in the inbox that is most likely the run of this slot; "" where none is."""
    waiting = inbox(wb, most=LOOKED_AT)
    own = (each for each in waiting if (each.proposal.plan, each.proposal.slot) == (plan, slot))
    return next((each.arrival.name for each in own), "")


def _goes_before(own: Proposal, other: Proposal) -> bool:
    return other.sure and own.study == other.study and (own.early or own.setup == other.setup)


def _expected(wb: Workbench, watch: WatchedFolder, file: FileNow, now: datetime) -> Proposal:
    """The run that a file would be filed as if it were whole now."""
    return _expected_at(wb, watch, file.path, now)


def _expected_at(wb: Workbench, watch: WatchedFolder, path: str, now: datetime) -> Proposal:
    name = written(path)
    came = Arrival(digest="", name=name, by=BY, at=now, about=about_of(watch))
    return propose(wb, came, kind=kind_of_beginning(wb, _beginning(watch, path), name))


def _beginning(watch: WatchedFolder, path: str) -> bytes:
    try:
        with (Path(str(watch.folder)) / path).open("rb") as opened:
            return opened.read(LOOK_BYTES)
    except OSError:
        return b""
