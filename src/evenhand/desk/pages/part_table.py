"""A table of parts on its way in: its use of the page of tables, in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.any_table import (
    LEAVE_OUT,
    MOST_SHOWN,
    Brought,
    ForAll,
    Given,
    RefusedRow,
    RowCard,
    TablePage,
    TableUse,
    Undone,
    column_cards,
    remembered_words,
    shown_refused,
)
from evenhand.desk.pages.frame import frame_of
from evenhand.desk.parts.catalogue import EVERY_KIND
from evenhand.desk.parts.noting import undo_many
from evenhand.desk.parts.part_roles import columns_seem, roles
from evenhand.desk.parts.part_sheets import PartRead, PartsRead, SaidOfParts, keep_parts, reading_parts
from evenhand.desk.parts.remembered import PARTS as KEY
from evenhand.desk.parts.remembered import PartsAtFirst, parts_at_first, remember_parts
from evenhand.folders.sheets import Sheet
from evenhand.publish.numbers import capital, count_word, counted
from evenhand.records.part_facts import PartFact
from evenhand.store.workbench import Workbench


def look(wb: Workbench, study: str, sheet: Sheet, given: Given, today: date) -> Brought:
    """A table as it is read, nothing of it kept."""
    first, said = said_now(wb, sheet, given)
    found = reading_parts(wb, sheet, said, today=today)()
    fine = [each for each in found.rows if not each.reason]
    refused, left = shown_refused(map(row_card, found.refused))
    as_before = first.at if (said.columns, said.kind) == (first.said.columns, first.said.kind) else None
    reasons = [each.reason for each in columns_seem(sheet, said.kind)]
    page = TablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer=answer_of(found),
        looks=f"{sheet.name}: {sheet.looks}.",
        remembered=remembered_words(as_before),
        columns=column_cards(sheet, said.columns, reasons, as_before),
        roles=(LEAVE_OUT, *((role.key, role.name) for role in roles(said.kind))),
        for_all=for_all(said),
        problems=found.lacks,
        read=tuple(map(row_card, fine[:MOST_SHOWN])),
        refused=refused,
        left_refused=left,
        keep="" if found.lacks else keep_words(len(found.fresh)),
    )
    return Brought(page=page, refused=refused_rows(found))


def said_now(wb: Workbench, sheet: Sheet, given: Given) -> tuple[PartsAtFirst, SaidOfParts]:
    """What is said of a table before anybody looked, and what is said of it now.

    Of another kind other facts stand in it: what was said of columns for the kind before says nothing then.
    """
    kind = given.text("kind")
    first = parts_at_first(wb, sheet, kind)
    if given.columns is None or kind != given.text("was"):
        return first, first.said
    return first, SaidOfParts(
        columns=given.columns, kind=kind, source=given.text("source"), day=given.text("day")
    )


def for_all(said: SaidOfParts) -> tuple[ForAll, ...]:
    """What holds for all rows: their kind, and what those that do not say it are from."""
    kinds = (("", "Choose one"), *((kind, kind) for kind in EVERY_KIND))
    source = "For rows that do not say it: a data sheet, a ruler, a receipt."
    day = "As 2031-05-04; today where nothing stands here."
    return (
        ForAll(
            name="kind", label="Kind of part", value=said.kind, hint="Each kind has facts of its own.",
            options=kinds,
        ),
        ForAll(name="source", label="Where it is from", value=said.source, hint=source),
        ForAll(name="day", label="Read on", value=said.day, hint=day),
    )  # fmt: skip


def keep_words(rows: int) -> str:
    """What is on the button; "" for nothing new."""
    return f"Keep what is new in {'one row' if rows == 1 else f'{rows} rows'}" if rows else ""


def refused_rows(found: PartsRead) -> tuple[RefusedRow, ...]:
    """Every row that cannot be kept."""
    return tuple(
        RefusedRow(line=each.row.line, why=each.reason, cells=each.row.cells) for each in found.refused
    )


def keep(wb: Workbench, study: str, sheet: Sheet, given: Given, now: datetime, today: date) -> TablePage:
    """Keeps what is new of a table; what is not yet said is asked for first."""
    _, said = said_now(wb, sheet, given)
    once = reading_parts(wb, sheet, said, today=today)
    if once().lacks or said.kind != given.text("was"):
        return look(wb, study, sheet, given, today).page
    with wb.writing():
        found, numbers = keep_parts(wb, once, kind=said.kind, now=now)
        remember_parts(wb, sheet, said, now=now)
    return kept_page(wb, study, found, numbers)


def kept_page(wb: Workbench, study: str, found: PartsRead, numbers: Sequence[int]) -> TablePage:
    """What came of a table."""
    added = sum(not each.key for each in found.fresh)
    told = f"{counted(added, 'part')} and {counted(len(numbers), 'fact')} of the table are on record now."
    refused, left = shown_refused(map(row_card, found.refused))
    return TablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer=capital(told) if found.fresh else "Nothing of it was new.",
        refused=refused,
        left_refused=left,
        kept=tuple(numbers),
        ended=True,
    )


def take_back(wb: Workbench, numbers: Sequence[int], now: datetime, today: date) -> Undone:
    """Notes again what stood before the facts of a table; parts that it brought stay."""
    back = undo_many(wb, numbers, now=now, today=today)
    return Undone(words=f"{_many(back)} as before the table.", numbers=_numbers(back), again=True)


def bring_again(wb: Workbench, numbers: Sequence[int], now: datetime, today: date) -> Undone:
    """Notes the facts of a table again; `numbers` are those of what stood before."""
    back = undo_many(wb, numbers, now=now, today=today)
    return Undone(words=f"{_many(back)} as in the table.", numbers=_numbers(back), again=False)


def _many(facts: Sequence[PartFact]) -> str:
    return "1 fact stands" if len(facts) == 1 else f"{len(facts)} facts stand"


def _numbers(facts: Sequence[PartFact]) -> tuple[int, ...]:
    return tuple(fact.id for fact in facts)


def answer_of(found: PartsRead) -> str:
    """What a table comes to, as a sentence."""
    rows = counted(len(found.rows or found.sheet.rows), "row")
    if found.problems:
        return f"{capital(rows)} were found; say what is missing, and they are read."
    added = sum(not each.key for each in found.fresh)
    facts = sum(len(each.facts) for each in found.fresh)
    bad = f", {count_word(len(found.refused))} of which cannot be read" if found.refused else ""
    return capital(f"{counted(added, 'new part')} and {counted(facts, 'new fact')} in {rows}{bad}.")


def row_card(each: PartRead) -> RowCard:
    """A row in words."""
    if each.reason:
        return RowCard(line=each.row.line, words=each.reason, wrong=True)
    new = "" if each.key else " (new)"
    return RowCard(line=each.row.line, words=f"{each.name}{new}: {each.words or 'nothing new'}")


PARTS = TableUse(
    key=KEY,
    title="A table of parts",
    blank="Bring a table of parts: whatever program wrote it, you say what its columns are.",
    lead="One row a part, all of one kind: its name, and a column for each fact. A cell that is empty says "
    "nothing; one that says “unknown” says that it was looked for in vain. Nothing is kept before you have "
    "seen how it is read.",
    all_heading="What holds for all rows",
    kept_words="They stand from now on; what stood before stays on record.",
    back=("builds", "parts"),
    back_words="Back to the parts",
    fields=("kind", "was", "source", "day"),
    look=look,
    keep=keep,
    take_back=take_back,
    bring_again=bring_again,
    first=True,
)
"""Tables of parts."""
