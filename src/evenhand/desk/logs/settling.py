"""When a file that is being written is whole: once it is quiet for longer than its writer ever paused.

Whole ones are taken in the order in which they were first seen.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from evenhand.desk.logs.folder_files import FileNow

QUIET_S = 2.0
QUIET_HALF_LINE_S = 12.0  # a text that ends within a line is most likely still being written
PAUSES = 1.5  # times the longest pause of its writer that was seen: a steady one is out by less than half
LONGEST_S = 60.0  # nobody waits longer than this
TURN_S = 30.0  # nor, once whole, longer than this behind one that was begun earlier


@dataclass(frozen=True, slots=True, kw_only=True)
class OnItsWay:
    """One file on its way: how it was last, since when (s), and the longest pause between two changes (s).

    `first` orders files by when they were first seen (s), those seen at one look by when they were written
    then; `whole` is since when it has been whole (s), None before.
    """

    file: FileNow
    since: float
    first: tuple[float, int, str]
    pause: float = 0.0
    whole: float | None = None


class Settling:
    """Remembers between looks how files have changed."""

    def __init__(self, whole: Callable[[FileNow], bool]) -> None:
        """`whole` says of a file whether it ends as a whole one does."""
        self._whole = whole
        self._known: dict[str, OnItsWay] = {}

    def look(self, files: Sequence[FileNow], *, at: float, now_ns: int) -> tuple[FileNow, ...]:
        """Those of the new files that are whole, the one that was first seen first.

        `at` is a clock in s that never goes back; `now_ns` is the time of day in ns since 1970: what was last
        changed long ago, while nobody watched, need not be waited for.
        """
        self._known = {each.path: self._seen(each, at) for each in files}
        for path, each in self._known.items():
            whole = self._settled(each, at=at, now_ns=now_ns)
            since = at if each.whole is None else each.whole
            self._known[path] = replace(each, whole=since if whole else None)
        return tuple(each.file for each in self._in_order() if each.whole is not None)

    def ahead_of(self, path: str, *, at: float) -> tuple[FileNow, ...]:
        """What was first seen before a whole file, is still on its way and changed within a minute.

        Nothing any more once it has been whole for TURN_S.
        """
        own = self._known.get(path)
        if own is None or own.whole is None or at - own.whole >= TURN_S:
            return ()
        return tuple(
            each.file for each in self._in_order() if each.first < own.first and at - each.since <= LONGEST_S
        )

    @property
    def on_the_way(self) -> tuple[str, ...]:
        """The paths that were new at the last look."""
        return tuple(self._known)

    def seen_for(self, path: str, *, at: float) -> float:
        """For how many seconds a file has been on its way."""
        own = self._known.get(path)
        return 0.0 if own is None else at - own.first[0]

    def forget(self, path: str) -> None:
        """A file was taken in: it is on its way no more."""
        self._known.pop(path, None)

    def _in_order(self) -> list[OnItsWay]:
        return sorted(self._known.values(), key=lambda each: each.first)

    def _seen(self, file: FileNow, at: float) -> OnItsWay:
        before = self._known.get(file.path)
        if before is None:
            return OnItsWay(file=file, since=at, first=(at, file.changed_ns, file.path))
        if before.file == file:
            return before
        pause = max(before.pause, at - before.since)
        return OnItsWay(file=file, since=at, first=before.first, pause=pause)

    def _settled(self, each: OnItsWay, *, at: float, now_ns: int) -> bool:
        if not each.file.bytes:
            return False
        if now_ns - each.file.changed_ns > LONGEST_S * 1e9:
            return True
        quiet = at - each.since
        if quiet < min(max(QUIET_S, PAUSES * each.pause), LONGEST_S):
            return False
        return quiet >= QUIET_HALF_LINE_S or self._whole(each.file)


def ends_whole(folder: Path) -> Callable[[FileNow], bool]:
    """Whether a file of a folder ends with a line, or with a byte that no text ends with."""

    def whole(file: FileNow) -> bool:
        try:
            with (folder / file.path).open("rb") as opened:
                opened.seek(-1, 2)
                last = opened.read(1)
        except OSError:
            return False
        return last in b"\n\r}]" or not (last.isascii() and last.decode().isprintable())

    return whole
