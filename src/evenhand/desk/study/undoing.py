"""Put a record back as it was before a change. Both the change and its undoing stay in history."""

from __future__ import annotations

from datetime import datetime
from typing import cast

from pydantic import ValidationError

from evenhand.desk.study.shelving import NOUN_OF, Kept, Shelved, judge_again, keep
from evenhand.errors import BadRecord, Overtaken, StoreProblem
from evenhand.folders.history_file import record_from
from evenhand.store.history import change, history_of
from evenhand.store.workbench import Workbench


def undo(wb: Workbench, table: str, key: str, *, now: datetime) -> Kept:
    """Puts back what the last change of a record replaced. Raises BadRecord where it was new by it."""
    changes = history_of(wb, table, key)
    if not changes:
        raise BadRecord(f"'{key}' was never changed", where=table, todo="look at the history")
    return undo_change(wb, changes[-1].id, now=now)


def undo_change(wb: Workbench, number: int, *, now: datetime) -> Kept:
    """Puts back what one change replaced.

    Raises Overtaken where the record was changed again since, BadRecord where it was new by it.
    """
    with wb.writing():
        found = change(wb, number)
        if history_of(wb, found.table, found.key)[-1].id != number:
            raise Overtaken(
                "this was changed again since, and undoing would undo that as well",
                where=found.key,
                todo="change it by hand",
            )
        if found.before is None or found.table not in NOUN_OF:
            raise BadRecord(
                "what is on record stays on record", where=found.key, todo="take it out of the study instead"
            )
        try:
            before = record_from(NOUN_OF[found.table], found.before)
        except ValidationError as error:
            raise StoreProblem(
                f"the history of '{found.key}' is damaged", todo="run `evenhand check`"
            ) from error
        kept = keep(wb, cast("Shelved", before), now=now)
    judge_again(wb, cast("Shelved", before), now=now)
    return kept
