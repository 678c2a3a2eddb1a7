"""When a file that is being written is whole: once it is quiet for longer than its writer ever paused."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from evenhand.desk.folder_files import FileNow

QUIET_S = 2.0
QUIET_HALF_LINE_S = 12.0  # a text that ends within a line is most likely still being written
PAUSES = 3.0  # times the longest pause of its writer that was seen
LONGEST_S = 60.0  # nobody waits longer than this


@dataclass(frozen=True, slots=True, kw_only=True)
class OnItsWay:
    """One file on its way: how it was last, since when (s), and the longest pause between two changes (s)."""

    file: FileNow
    since: float
    pause: float = 0.0


class Settling:
    """Remembers between looks how files have changed."""

    def __init__(self, whole: Callable[[FileNow], bool]) -> None:
        """`whole` says of a file whether it ends as a whole one does."""
        self._whole = whole
        self._known: dict[str, OnItsWay] = {}

    def look(self, files: Sequence[FileNow], *, at: float, now_ns: int) -> tuple[FileNow, ...]:
        """Those of the new files that are whole.

        `at` is a clock in s that never goes back; `now_ns` is the time of day in ns since 1970: what was last
        changed long ago, while nobody watched, need not be waited for.
        """
        self._known = {each.path: self._seen(each, at) for each in files}
        return tuple(each.file for each in self._known.values() if self._settled(each, at=at, now_ns=now_ns))

    @property
    def on_the_way(self) -> tuple[str, ...]:
        """The paths that were new at the last look."""
        return tuple(self._known)

    def forget(self, path: str) -> None:
        """A file was taken in: it is on its way no more."""
        self._known.pop(path, None)

    def _seen(self, file: FileNow, at: float) -> OnItsWay:
        before = self._known.get(file.path)
        if before is None:
            return OnItsWay(file=file, since=at)
        if before.file == file:
            return before
        return OnItsWay(file=file, since=at, pause=max(before.pause, at - before.since))

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
