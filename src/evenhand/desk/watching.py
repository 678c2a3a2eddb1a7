"""Watched folders: which are watched, what lies in one, and each new file of it taken in."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from evenhand.desk.dropping import Dropped, dropped_as, sentence
from evenhand.desk.identity import digest
from evenhand.desk.landing import arrive
from evenhand.desk.placing import note_waiting, put_away, standing
from evenhand.desk.recognising import recognised
from evenhand.desk.uploading import place_in
from evenhand.errors import BadLog, BadRecord
from evenhand.records.studies import Study
from evenhand.records.watches import SeenFile, WatchedFolder
from evenhand.store import arrivals, originals, shelves, watches
from evenhand.store.workbench import Workbench
from evenhand.traces.limits import check_size

BY = "folder"
MOST_FILES = 20_000  # a folder with more is not one in which logs of bench days appear
UNFINISHED = (".part", ".partial", ".tmp", ".temp", ".download", ".half", ".swp", "~")


@dataclass(frozen=True, slots=True, kw_only=True)
class FileNow:
    """A file in a watched folder as it is now: its path from the folder on, its length and time of change."""

    path: str
    bytes: int
    changed_ns: int

    @property
    def key(self) -> str:
        """The path as it is kept and shown."""
        return watches.written(self.path)


class StillWritten(Exception):
    """A file was changed while it was read."""


def watch_folder(
    wb: Workbench, folder: str, *, study: str | None, present_too: bool = False, by: str, now: datetime
) -> WatchedFolder:
    """Watch a folder for a study, or for any; what lies there already is no news unless `present_too`.

    Naming the folder that is watched already changes nothing. Raises BadRecord where it cannot be watched.
    """
    place = place_named(folder)
    for each in watches.watches_standing(wb):
        if each.folder == str(place) and each.study == study:
            return each
        if each.folder == str(place):
            of = "any study" if each.study is None else f"the study {each.study}"
            raise BadRecord(
                f"this folder is watched for {of} already",
                where=folder,
                todo="stop that first, or name another",
            )
    there = () if present_too else files_in(place)
    with wb.writing():
        watch = watches.add_watch(wb, WatchedFolder(study=study, folder=str(place), by=by, at=now))
        watches.add_seen(wb, (as_seen(watch, each, now=now, note=BEFORE) for each in there))
    return watch


BEFORE, KNOWN = "lay there before", "known already"


def place_named(folder: str) -> Path:
    """The folder that somebody named. Raises BadRecord where it is none, or may not be read."""
    plain = folder.strip()
    if not plain:
        raise BadRecord("no folder was named", todo="write its whole path, as in /home/me/logs")
    place = Path(plain).expanduser()
    if not place.is_absolute():
        raise BadRecord("this is no whole path", where=plain, todo="begin with the disk, as in /home/me/logs")
    if not place.is_dir():
        found = "this is a file, not a folder" if place.exists() else "there is no such folder"
        raise BadRecord(found, where=plain, todo="make it, or correct its name")
    files_in(place)
    return place.resolve()


def end_watch(wb: Workbench, *, study: str | None, by: str, now: datetime) -> None:
    """Stop watching for a study, or for any; what came in stays."""
    if any(each.study == study for each in watches.watches_standing(wb)):
        watches.add_watch(wb, WatchedFolder(study=study, folder=None, by=by, at=now))


def watched_now(wb: Workbench) -> tuple[WatchedFolder, ...]:
    """The folders that are watched."""
    return wb.lately("watched folders", lambda: watches.watches_standing(wb))


def refused_in(wb: Workbench, watch: WatchedFolder) -> tuple[SeenFile, ...]:
    """Files of a folder that could not be taken in, and were not changed since."""
    last = {each.path: each for each in watches.seen_in(wb, watch.id)}
    return tuple(each for each in last.values() if each.arrival is None and each.note not in (BEFORE, KNOWN))


def title_of(wb: Workbench, study: str) -> str:
    """What a study is called."""
    return shelves.one(wb, Study, study).title


def files_in(folder: Path) -> tuple[FileNow, ...]:
    """Every file in a folder and below, by path, but hidden ones and those that bear the name of a half.

    Raises BadRecord where the folder is gone, may not be read, or holds far too much.
    """
    found: list[FileNow] = []
    for each in _walk(folder, ""):
        found.append(each)
        if len(found) > MOST_FILES:
            raise BadRecord(
                f"it holds more than {MOST_FILES:,} files",
                where=str(folder),
                todo="name the folder in which logs appear, not one above it",
            )
    return tuple(sorted(found, key=lambda each: each.path))


def _walk(folder: Path, below: str) -> Iterator[FileNow]:
    try:
        entries = list(os.scandir(folder))
    except OSError as error:
        gone = isinstance(error, FileNotFoundError | NotADirectoryError)
        if gone and below:
            return  # taken away between two looks
        raise BadRecord(
            "the folder is gone" if gone else f"the folder cannot be read ({error.strerror})",
            where=str(folder),
            todo="put it back" if gone else "see that it may be read",
        ) from error
    for entry in entries:
        if entry.name.startswith((".", "~")):
            continue
        if entry.is_dir(follow_symlinks=False):
            yield from _walk(Path(entry.path), f"{below}{entry.name}/")
        elif not entry.name.lower().endswith(UNFINISHED):
            yield from _one(entry, below)


def _one(entry: os.DirEntry[str], below: str) -> Iterator[FileNow]:
    try:
        found = entry.stat()
        if entry.is_file():
            yield FileNow(path=f"{below}{entry.name}", bytes=found.st_size, changed_ns=found.st_mtime_ns)
    except OSError:
        return  # taken away between two looks, or a link to nowhere


def seen_of(wb: Workbench, watch: WatchedFolder) -> dict[str, tuple[int, int]]:
    """What was seen of each file last: its length and time of change."""
    return {each.path: (each.bytes, each.changed_ns) for each in watches.seen_in(wb, watch.id)}


def news(files: Sequence[FileNow], seen: Mapping[str, tuple[int, int]]) -> tuple[FileNow, ...]:
    """The files that were not seen as they are now."""
    return tuple(each for each in files if seen.get(each.key) != (each.bytes, each.changed_ns))


def take_file(wb: Workbench, watch: WatchedFolder, file: FileNow, *, now: datetime) -> Dropped:
    """Keep a new file of a watched folder, and file it where it is sure which run it is.

    Raises StillWritten where it was changed while it was read, and BadRecord where it cannot be read now.
    """
    name = file.key
    try:
        check_size(max(file.bytes, 1), name=name)
        data = whole(watch, file)
        mark = digest(data)
        known = recognised(wb, mark)
        if known is not None and not _ours(wb, mark, name):
            watches.add_seen(wb, [as_seen(watch, file, now=now, note=KNOWN)])
            return Dropped(name=name, sort="known", words=known.words, address=known.address)
        arrival = arrive(wb, data, name=name, by=BY, about=about_of(watch), now=now)
    except BadLog as trouble:
        watches.add_seen(wb, [as_seen(watch, file, now=now, note=trouble.found)])
        return Dropped(name=name, sort="refused", words=f"{sentence(trouble.found)} {sentence(trouble.todo)}")
    grown = grown_from(wb, watch, name, data, now=now)
    watches.add_seen(wb, [as_seen(watch, file, now=now, arrival=arrival.id)])
    if grown is not None:
        note_waiting(wb, arrival, grown, study=watch.study or "", by=BY, now=now)
        return Dropped(name=name, sort="waits", words=f"{grown}.", address=f"/inbox#file-{arrival.id}")
    return dropped_as(place_in(wb, arrival, by=BY, now=now))


def _ours(wb: Workbench, mark: str, name: str) -> bool:
    """Whether these bytes are this very file, kept and not yet placed when the program was stopped."""
    came = arrivals.arrivals_of(wb, mark)
    return any((each.name, each.by) == (name, BY) and standing(wb, each.id) is None for each in came)


def about_of(watch: WatchedFolder) -> dict[str, str]:
    """What is known of a file by where it lay."""
    return {"folder": str(watch.folder), **({"study": watch.study} if watch.study else {})}


def whole(watch: WatchedFolder, file: FileNow) -> bytes:
    """A file's bytes. Raises StillWritten and BadRecord."""
    path = Path(str(watch.folder)) / file.path
    try:
        data = path.read_bytes()
        after = path.stat()
    except OSError as error:
        raise BadRecord(
            f"it cannot be read ({error.strerror})", where=file.path, todo="see that it may be read"
        ) from error
    if (after.st_size, after.st_mtime_ns) != (file.bytes, file.changed_ns) or len(data) != file.bytes:
        raise StillWritten
    return data


def grown_from(wb: Workbench, watch: WatchedFolder, name: str, data: bytes, *, now: datetime) -> str | None:
    """Why a file that has grown since it was taken must wait; None where it need not.

    Taken as a run while it was being written, it would otherwise become another run in the next place. A half
    that is no run leaves the inbox to the whole.
    """
    taken = [each.arrival for each in watches.seen_at(wb, watch.id, name) if each.arrival is not None]
    before = arrivals.arrival(wb, taken[-1]) if taken else None
    size = originals.size_of(wb, before.digest) if before is not None else 0
    if before is None or size >= len(data) or digest(data[:size]) != before.digest:
        return None
    last = standing(wb, before.id)
    if last is None or last.run is None:
        put_away(wb, before.id, note="it was half-written; the whole of it came after", by=BY, now=now)
        return None
    return (
        f"It was filed as run {last.run} when it was {size:,} bytes long, and has grown to {len(data):,} "
        "since; file this one, and set the other aside"
    )


def as_seen(
    watch: WatchedFolder, file: FileNow, *, now: datetime, arrival: int | None = None, note: str = ""
) -> SeenFile:
    """A file as it was seen."""
    return SeenFile(
        watch=watch.id,
        path=file.key,
        bytes=file.bytes,
        changed_ns=file.changed_ns,
        at=now,
        arrival=arrival,
        note=note,
    )
