"""What appeared in the watched folder while this program was not running: told at its start, and sent."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from evenhand.rig import session
from evenhand.rig.operator import NobodyThere, Operator, say
from evenhand.rig.session import Rig
from evenhand.rig.watching import STILL_S, Folder

LOOK_AGAIN_S = 0.2
WAIT_S = STILL_S + 1.0  # what is written for longer than that is sent when it is finished, as any file


def watched(rig: Rig, place: Path | None) -> Folder | None:
    """The folder where logs appear, with what is no news in it; what lies there the first time is none."""
    if place is None:
        return None
    known = rig.state.known_files(place)
    folder = Folder(place, known=known)
    if known is None:
        rig.state.note_files(place, folder.known)
    return folder


def send_left_over(rig: Rig, folder: Folder | None, operator: Operator) -> None:
    """Puts what appeared meanwhile on its way: as the run that was cut off, if whoever stands here says so.

    Without an answer it goes as a file of no run, and the workbench asks whose it is. The run that was cut
    off is forgotten here; the plan wants it again as long as no log of it has come.
    """
    cut = rig.state.under_way()
    came = appeared(folder) if folder is not None else []
    if folder is None or not came:
        tell_cut(cut)
        rig.state.note_under_way(None)
        return
    say(f"While I was not running, {' and '.join(path.name for path in came)} appeared in {folder.place}.")
    for path in came:
        own = is_of(cut, path, folder.known[str(path)]) and said_whole(operator, path, cut)
        session.send_log(rig, path, cut["facts"] if own else {})
        unclear = "" if own else ". Where it is not clear whose it is, the inbox asks"
        say(f"  {path.name} is on its way{unclear}.")
        cut = {} if own else cut
    rig.state.note_files(folder.place, folder.known)
    tell_cut(cut)
    rig.state.note_under_way(None)


def appeared(folder: Folder) -> list[Path]:
    """New files that are finished, the oldest first; waits for those that somebody writes just now."""
    found, until = list(folder.finished()), time.monotonic() + WAIT_S
    while folder.growing() and time.monotonic() < until:
        time.sleep(LOOK_AGAIN_S)
        found += folder.finished()
    return sorted(found, key=lambda path: folder.known[str(path)][1])


def is_of(cut: Mapping[str, Any], path: Path, now: Sequence[int]) -> bool:
    """Whether a file may be the log of the run that was cut off: it was not there when that began."""
    return bool(cut) and tuple(cut["before"].get(str(path), ())) != tuple(now)


def said_whole(operator: Operator, path: Path, cut: Mapping[str, Any]) -> bool:
    """Whether whoever stands here says that this is that run's log, and whole."""
    question = f"  I was ended during {cut['words']}. Is {path.name} its log, and whole? (yes/no) "
    try:
        return operator.ask(question).strip().lower() in ("y", "yes")
    except NobodyThere:
        return False


def tell_cut(cut: Mapping[str, Any]) -> None:
    """That a run was cut off, where nothing that came is its log."""
    if cut:
        say(f"I was ended during {cut['words']}: it is not kept, and comes again if it is still wanted.")
