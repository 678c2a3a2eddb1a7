"""Watch the folder where logs appear: each file once, when it has stopped growing."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

STILL_S = 2.0  # a file that has not grown for so long is taken for finished
MOST_BYTES = 512 * 2**20

Known = Mapping[str, Sequence[int]]  # size and time of change of each file, by its path


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What a file looked like, and since when."""

    size: int
    changed_ns: int
    since: float


class Folder:
    """A folder whose files are handed out once each.

    What is `known` from an earlier time is not news; without it, neither is what is there at the start.
    """

    def __init__(
        self, place: Path, *, known: Known | None = None, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self.place = place
        self._clock = clock
        self._known: dict[str, Sequence[int]] = (
            dict(self.present())
            if known is None
            else {path: (size, changed) for path, (size, changed) in known.items()}
        )
        self._growing: dict[Path, Look] = {}

    @property
    def known(self) -> Known:
        """The files that are no news, to be kept for the next time."""
        return dict(self._known)

    def finished(self) -> Iterator[Path]:
        """New and changed files that have been still for a while; ask now and then."""
        now = self._clock()
        there = set()
        for path, size, changed in self._files():
            there.add(path)
            if self._known.get(str(path)) == (size, changed):
                continue
            before = self._growing.get(path)
            if before is None or (before.size, before.changed_ns) != (size, changed):
                self._growing[path] = Look(size=size, changed_ns=changed, since=now)
            elif now - before.since >= STILL_S and 0 < size <= MOST_BYTES:
                del self._growing[path]
                self._known[str(path)] = (size, changed)
                yield path
        self._growing = {path: look for path, look in self._growing.items() if path in there}

    def present(self) -> Known:
        """Every file that is there now."""
        return {str(path): (size, changed) for path, size, changed in self._files()}

    def growing(self) -> int:
        """How many files are still being written."""
        return len(self._growing)

    def _files(self) -> Iterator[tuple[Path, int, int]]:
        for path in sorted(self.place.rglob("*")):
            if path.name.startswith("."):
                continue
            try:
                about = path.stat()
                if path.is_file():
                    yield path, about.st_size, about.st_mtime_ns
            except OSError:  # gone between the list and the look
                continue
