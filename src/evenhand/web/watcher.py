"""Looks after the watched folders as long as the site is open: new files are taken in once they are whole."""

from __future__ import annotations

import logging
import threading
import time
from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import watchfiles

from evenhand.desk.bench.watching import news, seen_of, take_file, watched_now
from evenhand.desk.logs.dropping import Dropped
from evenhand.desk.logs.file_turns import is_in_turn
from evenhand.desk.logs.folder_files import FileNow, StillWritten, files_in
from evenhand.desk.logs.settling import Settling, ends_whole
from evenhand.errors import EvenhandError
from evenhand.records.watches import WatchedFolder
from evenhand.web.served import Site

TICK_S = 0.5  # how often a file on its way is looked at
EVERY_S = 5.0  # a look all the same where nothing told of a change: not every disk does
RESTS = 20  # times as long as the last look took: a folder of ten thousand files takes some 0.2 s
KEPT = 8  # of what came last, for the page

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderNow:
    """One watched folder as it is now: what is on its way, what came last, and what is wrong with it.

    `behind` are whole files that wait for one that was begun earlier.
    """

    watch: WatchedFolder
    writing: tuple[str, ...] = ()
    behind: tuple[str, ...] = ()
    trouble: str = ""
    last: tuple[Dropped, ...] = ()
    looked: bool = False


@dataclass(slots=True)
class _Folder:
    """What is remembered of a folder between two looks."""

    watch: WatchedFolder
    settling: Settling
    seen: dict[str, tuple[int, int]]
    behind: tuple[str, ...] = ()
    last: deque[Dropped] = field(default_factory=lambda: deque(maxlen=KEPT))
    trouble: str = ""
    looked: bool = False
    looked_at: float = 0.0
    took_s: float = 0.0
    changed: bool = False

    def due(self) -> bool:
        """Whether to look now: soon where something is on its way, seldom where looking takes long."""
        if not self.looked:
            return True
        wait_s = TICK_S if self.changed or self.settling.on_the_way else EVERY_S
        return time.monotonic() - self.looked_at >= max(wait_s, RESTS * self.took_s)

    @property
    def place(self) -> Path:
        return Path(str(self.watch.folder))

    def now(self) -> FolderNow:
        return FolderNow(
            watch=self.watch,
            writing=tuple(path for path in self.settling.on_the_way if path not in self.behind),
            behind=self.behind,
            trouble=self.trouble,
            last=tuple(self.last),
            looked=self.looked,
        )


class Watcher:
    """One thread for all folders."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self._folders: dict[int, _Folder] = {}
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="watched folders", daemon=True)

    @contextmanager
    def watching(self) -> Iterator[None]:
        """Looks after them as long as the block lasts."""
        self._thread.start()
        try:
            yield
        finally:
            self._stop.set()
            self._thread.join(10)

    def folders(self) -> tuple[FolderNow, ...]:
        """Every watched folder as it was at the last look."""
        return tuple(each.now() for each in list(self._folders.values()))

    def _run(self) -> None:
        while not self._stop.is_set():
            try:
                self._go_on()
            except EvenhandError as trouble:  # the workbench is busy, full or gone for a while
                for each in self._folders.values():
                    each.trouble = str(trouble)
                self._stop.wait(EVERY_S)
            except Exception:  # whatever it is, the folders are watched on
                log.exception("a watched folder could not be looked at")
                self._stop.wait(EVERY_S)

    def _go_on(self) -> None:
        """Looks, and waits for changes, until other folders are to be watched or one has come or gone."""
        standing = self._those_standing()
        there = tuple(each.place for each in self._folders.values() if each.place.is_dir())
        for changed in self._changes(there):
            if self._stop.is_set() or watched_now(self._site.wb) != standing:
                return
            for each in self._folders.values():
                each.changed = each.changed or changed
                if each.due():
                    self._look(each)
            if there != tuple(each.place for each in self._folders.values() if each.place.is_dir()):
                return

    def _those_standing(self) -> Sequence[WatchedFolder]:
        standing = watched_now(self._site.wb)
        for gone in self._folders.keys() - {watch.id for watch in standing}:
            del self._folders[gone]
        for watch in standing:
            if watch.id not in self._folders:
                self._folders[watch.id] = _Folder(
                    watch=watch,
                    settling=Settling(ends_whole(Path(str(watch.folder)))),
                    seen=seen_of(self._site.wb, watch),
                )
        return standing

    def _changes(self, places: Sequence[Path]) -> Iterator[bool]:
        """Whether something changed, at least every tick."""
        yield bool(places)
        tick_ms = int(TICK_S * 1000)
        try:
            if places:
                for changed in watchfiles.watch(
                    *places,
                    watch_filter=None,
                    stop_event=self._stop,
                    debounce=tick_ms,
                    rust_timeout=tick_ms,
                    yield_on_timeout=True,
                    ignore_permission_denied=True,
                ):
                    yield bool(changed)
                return
        except (OSError, RuntimeError):  # this system tells of no more folders: then we look by ourselves
            log.info("changes are looked for by the clock", exc_info=True)
        while not self._stop.wait(TICK_S):
            yield False

    def _look(self, folder: _Folder) -> None:
        """Takes in what is whole now."""
        begun = folder.looked_at = time.monotonic()
        folder.changed = False
        try:
            files = news(files_in(folder.place), folder.seen)
        except EvenhandError as trouble:
            folder.trouble, folder.looked = f"{trouble.found}: {trouble.where}", True
            return
        folder.trouble, folder.took_s = "", time.monotonic() - begun
        folder.behind = tuple(self._take_those_in_turn(folder, files))
        folder.looked = True

    def _take_those_in_turn(self, folder: _Folder, files: Sequence[FileNow]) -> Iterator[str]:
        """Takes in what is whole and in turn; the paths of those that are whole only."""
        at = time.monotonic()
        for file in folder.settling.look(files, at=at, now_ns=time.time_ns()):
            if self._stop.is_set():
                return
            ahead = folder.settling.ahead_of(file.path, at=at)
            if is_in_turn(self._site.wb, folder.watch, file, ahead=ahead, now=self._site.now()):
                self._take(folder, file)
            else:
                yield file.path

    def _take(self, folder: _Folder, file: FileNow) -> None:
        try:
            seen_s = folder.settling.seen_for(file.path, at=time.monotonic())
            came = take_file(self._site.wb, folder.watch, file, now=self._site.now(), seen_s=seen_s)
        except StillWritten:
            return
        except EvenhandError as trouble:
            folder.trouble = str(trouble)
            return
        folder.seen[file.key] = (file.bytes, file.changed_ns)
        folder.settling.forget(file.path)
        folder.last.appendleft(came)
