"""A table of offers on its way in: what its columns seem to be, its rows as read, and what came of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.frame import Frame, frame_of
from evenhand.desk.parts.offer_roles import NAMES, columns_proposed
from evenhand.desk.parts.offer_sheets import Read, ReadRow, Said
from evenhand.folders.cells import DayOrder
from evenhand.folders.sheets import Sheet
from evenhand.publish.numbers import count_word, counted, listed
from evenhand.publish.offer_words import offer_words
from evenhand.records.builds import Part
from evenhand.records.prices import Currency
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

FIRST_ROWS, MOST_SHOWN = 4, 8
MOST_REFUSED = 20
LEAVE_OUT = ("", "Leave it out")


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnCard:
    """One column: its header, its first cells, what it is said to be, and why that was proposed."""

    header: str
    cells: tuple[str, ...]
    role: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowCard:
    """One row by its line: what it is in words; `wrong` where it is no offer or is asked about."""

    line: int
    words: str
    wrong: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TablePage:
    """What the page shows; without a table, where to bring one."""

    frame: Frame
    answer: str
    parts: tuple[tuple[str, str], ...]
    looks: str = ""
    columns: tuple[ColumnCard, ...] = ()
    problems: tuple[str, ...] = ()
    read: tuple[RowCard, ...] = ()
    refused: tuple[RowCard, ...] = ()
    asked: tuple[RowCard, ...] = ()
    left_refused: int = 0
    fresh: int = 0
    notes: tuple[str, ...] = ()
    asks_order: bool = False
    kept: tuple[int, ...] = ()
    ended: bool = False

    @property
    def roles(self) -> tuple[tuple[str, str], ...]:
        """What a column may be."""
        return (LEAVE_OUT, *NAMES.items())


def blank_page(wb: Workbench, study: str) -> TablePage:
    """Where a table is brought."""
    return TablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer="Bring a table of offers: whatever program wrote it, you say what its columns are.",
        parts=part_names(wb),
    )


def said_at_first(wb: Workbench, sheet: Sheet, currency: Currency | None) -> Said:
    """What is said of a table before anybody looked: what its columns seem to be."""
    found = columns_proposed(wb, sheet, currency)
    return Said(columns={at: each.role for at, each in enumerate(found)})


def read_page(wb: Workbench, study: str, found: Read, said: Said, currency: Currency | None) -> TablePage:
    """A table as it was read, nothing of it kept."""
    reasons = columns_proposed(wb, found.sheet, currency)
    fine = [each for each in found.rows if each.offer is not None and not each.asks]
    return TablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer=answer_of(found),
        parts=part_names(wb),
        looks=looks_of(found),
        columns=tuple(
            ColumnCard(
                header=header,
                cells=found.sheet.column(at)[:FIRST_ROWS],
                role=said.columns.get(at, ""),
                reason=reasons[at].reason,
            )
            for at, header in enumerate(found.sheet.header)
        ),
        problems=found.problems,
        read=tuple(map(row_card, fine[:MOST_SHOWN])),
        refused=tuple(map(row_card, found.refused[:MOST_REFUSED])),
        left_refused=max(len(found.refused) - MOST_REFUSED, 0),
        asked=tuple(map(row_card, found.asked)),
        fresh=len(found.new),
        notes=notes_of(found),
        asks_order=found.asks_order,
    )


def kept_page(wb: Workbench, study: str, found: Read, numbers: Sequence[int]) -> TablePage:
    """What came of a table."""
    said, verb = counted(len(numbers), "offer").capitalize(), "is" if len(numbers) == 1 else "are"
    return TablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer=f"{said.capitalize()} of the table {verb} on record now."
        if numbers
        else "Nothing of it was new.",
        parts=part_names(wb),
        refused=tuple(map(row_card, (*found.refused, *found.asked)[:MOST_REFUSED])),
        left_refused=max(len(found.refused) + len(found.asked) - MOST_REFUSED, 0),
        notes=notes_of(found),
        kept=tuple(numbers),
        ended=True,
    )


def part_names(wb: Workbench) -> tuple[tuple[str, str], ...]:
    """Every part by key and name, in the order of names."""
    parts = sorted(shelves.every(wb, Part), key=lambda part: part.name.casefold())
    return tuple((part.key, part.name) for part in parts)


def answer_of(found: Read) -> str:
    """What a table comes to, as a sentence."""
    rows = counted(len(found.rows or found.sheet.rows), "row")
    if found.problems:
        return f"{rows.capitalize()} were found; say what is missing, and they are read."
    new = f"{counted(len(found.new), 'new offer')} in {rows}"
    bad = len(found.refused)
    return f"{new[:1].upper()}{new[1:]}{f', {count_word(bad)} of which cannot be read' if bad else ''}."


def looks_of(found: Read) -> str:
    """How the table is written, and how it was understood."""
    mark = {",": "decimals behind a comma", ".": "decimals behind a point"}.get(found.mark, "")
    order = f"days with the {found.order.value.replace(' first', '')} first" if found.order else ""
    return f"{found.sheet.name}: {listed(tuple(filter(None, (found.sheet.looks, mark, order))))}."


def row_card(each: ReadRow) -> RowCard:
    """A row in words."""
    if each.reason:
        return RowCard(line=each.row.line, words=each.reason, wrong=True)
    if each.asks:
        return RowCard(line=each.row.line, words=f"{each.name}: {each.asks}", wrong=True)
    words = f"{each.name}: {offer_words(each.offer)}" if each.offer else ""
    return RowCard(line=each.row.line, words=words)


def notes_of(found: Read) -> tuple[str, ...]:
    """What was on record before, and what the table says twice."""
    told = []
    if found.again:
        said, verb = counted(found.again, "offer").capitalize(), "was" if found.again == 1 else "were"
        told.append(f"{said} {verb} on record before, taken back or not: passed over.")
    if found.twice:
        told.append(f"{counted(found.twice, 'row').capitalize()} said what another one did: kept once.")
    return tuple(told)


ORDERS = tuple((each.value, each.value.capitalize(), "") for each in DayOrder)
