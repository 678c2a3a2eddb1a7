"""Which layout stands for each header line: what the next log with that header is read by."""

from __future__ import annotations

from datetime import datetime

from evenhand.records.layouts import LogKind
from evenhand.store.rows import Saved, insert, legible, note_change
from evenhand.store.workbench import Workbench


def standing(wb: Workbench) -> dict[tuple[str, LogKind], str]:
    """The mark of the layout that stands for each header line and kind of log."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM headers").fetchall()
    with legible("the list of layouts that stand for header lines"):
        return {(row["header"], LogKind(row["kind"])): row["layout"] for row in rows}


def let_stand(wb: Workbench, header: str, kind: LogKind, layout: str, *, now: datetime) -> Saved:
    """Lets a layout on record stand for a header line from now on; which one stood before is history."""
    place = {"header": header, "kind": kind.value}
    with wb.writing() as conn:
        found = conn.execute("SELECT layout FROM headers WHERE header = :header AND kind = :kind", place)
        row = found.fetchone()
        if row is not None and row["layout"] == layout:
            return Saved.SAME
        before = None if row is None else {**place, "layout": row["layout"]}
        after = {**place, "layout": layout}
        conn.execute("DELETE FROM headers WHERE header = :header AND kind = :kind", place)
        insert(conn, "headers", after)
        note_change(conn, "headers", key_of(header, kind), before=before, after=after, at=now)
    return Saved.NEW if before is None else Saved.CHANGED


def key_of(header: str, kind: LogKind) -> str:
    """Under which key history keeps a header line."""
    return f"{header} {kind.value}"
