"""Watched folders: which are watched, what lies in one, and each new file of it taken in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path

from evenhand.desk.bench.filed_names import filed_as
from evenhand.desk.bench.landing import arrive
from evenhand.desk.bench.placing import note_waiting, put_away, standing
from evenhand.desk.bench.plan_order import BEGUN, first_seen
from evenhand.desk.bench.uploading import place_in
from evenhand.desk.logs.dropping import Dropped, dropped_as, sentence
from evenhand.desk.logs.folder_files import FileNow, files_in, place_named, whole
from evenhand.desk.logs.identity import digest
from evenhand.desk.logs.recognising import recognised
from evenhand.errors import BadLog, BadRecord
from evenhand.records.studies import Study
from evenhand.records.watches import SeenFile, WatchedFolder
from evenhand.store import arrivals, originals, shelves, watches
from evenhand.store.workbench import Workbench
from evenhand.traces.limits import check_size

BY = "folder"


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


def seen_of(wb: Workbench, watch: WatchedFolder) -> dict[str, tuple[int, int]]:
    """What was seen of each file last: its length and time of change."""
    return {each.path: (each.bytes, each.changed_ns) for each in watches.seen_in(wb, watch.id)}


def news(files: Sequence[FileNow], seen: Mapping[str, tuple[int, int]]) -> tuple[FileNow, ...]:
    """The files that were not seen as they are now."""
    return tuple(each for each in files if seen.get(each.key) != (each.bytes, each.changed_ns))


def take_file(
    wb: Workbench, watch: WatchedFolder, file: FileNow, *, now: datetime, seen_s: float = 0.0
) -> Dropped:
    """Keep a new file of a watched folder, and file it where it is sure which run it is.

    `seen_s` is for how many seconds it has been on its way: what was skipped meanwhile may be what it is of.
    Raises StillWritten where it was changed while it was read, and BadRecord where it cannot be read now.
    """
    name = file.key
    try:
        check_size(max(file.bytes, 1), name=name)
        data = whole(Path(str(watch.folder)), file)
        mark = digest(data)
        known = recognised(wb, mark)
        if known is not None and not _ours(wb, mark, name):
            watches.add_seen(wb, [as_seen(watch, file, now=now, note=KNOWN)])
            return Dropped(name=name, sort="known", words=known.words, address=known.address)
        about = {**about_of(watch), **({BEGUN: first_seen(now, seen_s)} if seen_s > 0 else {})}
        arrival = arrive(wb, data, name=name, by=BY, about=about, now=now)
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
        f"It was filed as {filed_as(wb, last.study, last.run)} when it was {size:,} bytes long, and has "
        f"grown to {len(data):,} since; file this one, and set the other aside"
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
