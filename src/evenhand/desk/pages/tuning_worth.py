"""Whether tuning a setup was worth it, as the tuning page shows it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.compare_rows import Rows, about_pair, index_rows, test_rows
from evenhand.desk.tuning.gained import Gained
from evenhand.desk.tuning.gained_said import WorthSaid, by_state, worth_said
from evenhand.publish.names import Names
from evenhand.publish.numbers import level_words
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthShown:
    """The section: what is said, rows of every test, and the index over them where there is one."""

    said: WorthSaid
    rows: Rows | None = None
    index: Rows | None = None
    level: str = ""


def worth_shown(wb: Workbench, record: StudyOnRecord, setup: str, names: Names) -> WorthShown | None:
    """What is said of a tuned setup of a study; None of one that no run of it names."""
    if setup not in record.setups:
        return None
    said = worth_said(wb, record, setup)
    return WorthShown(said=said) if said.held is None else _held(said, said.held, names)


def _held(said: WorthSaid, held: Gained, names: Names) -> WorthShown:
    states = replace(names, setups={**names.setups, **by_state(held, names)})
    about = about_pair(held.comparison, (held.tuned, held.stock), states)
    rows = test_rows(held.comparison.findings, held.comparison, about, {})
    told = tuple(
        replace(
            row,
            note="; ".join(part for part in (row.note.rstrip("."), said.shares[row.key]) if part),
            details=(),
        )
        for row in rows.rows
    )
    whole = [index for index in held.comparison.indexes if not index.group]
    found = index_rows(whole, held.comparison, about)
    return WorthShown(
        said=said, rows=replace(rows, rows=told), index=None if found is None else found.shown,
        level=level_words(about.level),
    )  # fmt: skip
