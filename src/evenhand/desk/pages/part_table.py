"""A table of parts on its way in: what its columns seem to be, its rows as read, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.frame import Frame, frame_of
from evenhand.desk.pages.offer_table import (
    FIRST_ROWS,
    LEAVE_OUT,
    MOST_REFUSED,
    MOST_SHOWN,
    ColumnCard,
    RowCard,
)
from evenhand.desk.parts.catalogue import EVERY_KIND
from evenhand.desk.parts.part_roles import columns_seem, kind_seems, roles
from evenhand.desk.parts.part_sheets import PartRead, PartsRead, SaidOfParts
from evenhand.folders.sheets import Sheet
from evenhand.publish.numbers import capital, counted, number
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTablePage:
    """What the page shows; without a table, where to bring one. `kept` are the facts that came of one."""

    frame: Frame
    answer: str
    kinds: tuple[str, ...] = EVERY_KIND
    looks: str = ""
    columns: tuple[ColumnCard, ...] = ()
    roles: tuple[tuple[str, str], ...] = ()
    problems: tuple[str, ...] = ()
    read: tuple[RowCard, ...] = ()
    refused: tuple[RowCard, ...] = ()
    left_refused: int = 0
    fresh: int = 0
    kept: tuple[int, ...] = ()
    ended: bool = False


def blank_part_table(wb: Workbench, study: str) -> PartTablePage:
    """Where a table is brought."""
    return PartTablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer="Bring a table of parts: whatever program wrote it, you say what its columns are.",
    )


def parts_said_at_first(sheet: Sheet, kind: str) -> SaidOfParts:
    """What is said of a table before anybody looked; its `kind` where that was said, else what it seems."""
    kind = kind or kind_seems(sheet)
    columns = {at: each.role for at, each in enumerate(columns_seem(sheet, kind))}
    return SaidOfParts(columns=columns, kind=kind)


def part_table_page(wb: Workbench, study: str, found: PartsRead, said: SaidOfParts) -> PartTablePage:
    """A table as it was read, nothing of it kept."""
    reasons = columns_seem(found.sheet, said.kind)
    fine = [each for each in found.rows if not each.reason]
    return PartTablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer=answer_of(found),
        looks=f"{found.sheet.name}: {found.sheet.looks}.",
        columns=tuple(
            ColumnCard(
                header=header,
                cells=found.sheet.column(at)[:FIRST_ROWS],
                role=said.columns.get(at, ""),
                reason=reasons[at].reason,
            )
            for at, header in enumerate(found.sheet.header)
        ),
        roles=(LEAVE_OUT, *((role.key, role.name) for role in roles(said.kind))),
        problems=found.problems,
        read=tuple(map(row_card, fine[:MOST_SHOWN])),
        refused=tuple(map(row_card, found.refused[:MOST_REFUSED])),
        left_refused=max(len(found.refused) - MOST_REFUSED, 0),
        fresh=len(found.fresh),
    )


def answer_of(found: PartsRead) -> str:
    """What a table comes to, as a sentence."""
    rows = counted(len(found.rows or found.sheet.rows), "row")
    if found.problems:
        return f"{capital(rows)} were found; say what is missing, and they are read."
    added = sum(not each.key for each in found.fresh)
    facts = sum(len(each.facts) for each in found.fresh)
    bad = f", {number(len(found.refused))} of which cannot be read" if found.refused else ""
    said = f"{counted(added, 'new part')} and {counted(facts, 'new fact')} in {rows}{bad}."
    return capital(said)


def row_card(each: PartRead) -> RowCard:
    """A row in words."""
    if each.reason:
        return RowCard(line=each.row.line, words=each.reason, wrong=True)
    new = "" if each.key else " (new)"
    return RowCard(line=each.row.line, words=f"{each.name}{new}: {each.words or 'nothing new'}")


def kept_part_table(wb: Workbench, study: str, found: PartsRead, numbers: list[int]) -> PartTablePage:
    """What came of a table."""
    added = sum(not each.key for each in found.fresh)
    told = f"{counted(added, 'part')} and {counted(len(numbers), 'fact')} of the table are on record now."
    return PartTablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer=capital(told) if found.fresh else "Nothing of it was new.",
        refused=tuple(map(row_card, found.refused[:MOST_REFUSED])),
        left_refused=max(len(found.refused) - MOST_REFUSED, 0),
        kept=tuple(numbers),
        ended=True,
    )
