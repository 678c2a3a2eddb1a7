"""Watched folders and the files that were seen in them: only ever added to."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from evenhand.records.watches import SeenFile, WatchedFolder
from evenhand.store.rows import Row, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_STANDING = "SELECT max(id) FROM watches GROUP BY study"


def add_watch(wb: Workbench, watch: WatchedFolder) -> WatchedFolder:
    """Puts it on record that a folder is watched, or that watching was ended; the watch with its number."""
    row = {"study": watch.study, "folder": watch.folder, "by": watch.by, "at": watch.at.isoformat()}
    with wb.writing() as conn:
        number = insert(conn, "watches", row)
        seal(conn, "watches", number)
    return replace(watch, id=number)


def watches_standing(wb: Workbench) -> tuple[WatchedFolder, ...]:
    """The folders that are watched now, in the order in which they were named."""
    with wb.reading() as conn:
        rows = conn.execute(
            f"SELECT * FROM watches WHERE id IN ({_STANDING}) AND folder IS NOT NULL ORDER BY id"  # noqa: S608
        )
        return tuple(map(watch_from, rows))


def add_seen(wb: Workbench, files: Iterable[SeenFile]) -> None:
    """Puts it on record that files were seen, all of them or none."""
    with wb.writing() as conn:
        for each in files:
            row: Row = {
                "watch": each.watch,
                "path": written(each.path),
                "bytes": each.bytes,
                "changed_ns": each.changed_ns,
                "arrival": each.arrival,
                "note": each.note,
                "at": each.at.isoformat(),
            }
            seal(conn, "watched_files", insert(conn, "watched_files", row))


def seen_in(wb: Workbench, watch: int) -> tuple[SeenFile, ...]:
    """Every file that was seen in a folder, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM watched_files WHERE watch = ? ORDER BY id", (watch,))
        return tuple(map(seen_from, rows))


def seen_at(wb: Workbench, watch: int, path: str) -> tuple[SeenFile, ...]:
    """Every time one file of a folder was seen, the first first."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT * FROM watched_files WHERE watch = ? AND path = ? ORDER BY id", (watch, written(path))
        )
        return tuple(map(seen_from, rows))


def written(path: str) -> str:
    """A path as it is kept: file names need not be text everywhere; what is not is spelt out."""
    return path.encode("utf-8", "backslashreplace").decode("utf-8")


def watch_from(row: sqlite3.Row) -> WatchedFolder:
    """The watched folder that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"watched folder {row['id']}"):
        return WatchedFolder(
            id=row["id"],
            study=row["study"],
            folder=row["folder"],
            by=row["by"],
            at=datetime.fromisoformat(row["at"]),
        )


def seen_from(row: sqlite3.Row) -> SeenFile:
    """The seen file that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"file {row['id']} of a watched folder"):
        return SeenFile(
            watch=row["watch"],
            path=row["path"],
            bytes=row["bytes"],
            changed_ns=row["changed_ns"],
            arrival=row["arrival"],
            note=row["note"],
            at=datetime.fromisoformat(row["at"]),
        )
