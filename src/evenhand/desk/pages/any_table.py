"""A table that somebody brings, of whatever: what its columns seem to be, its rows as read, what came of it.

A page of tables has two uses, offers (`offer_table`) and parts (`part_table`): each is a `TableUse`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from evenhand.desk.pages.frame import Frame
from evenhand.folders.sheets import Sheet
from evenhand.publish.dates import day_words
from evenhand.store.workbench import Workbench

FIRST_ROWS, MOST_SHOWN, MOST_REFUSED = 4, 8, 20
LEAVE_OUT = ("", "Leave it out")
REMEMBERED = "as you said before"


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What a form said of a table: the role of each column by its place, and what holds for all rows.

    Without `columns` nobody has looked at it yet.
    """

    columns: Mapping[int, str] | None
    texts: Mapping[str, str]

    def text(self, name: str) -> str:
        """What was said for all rows, "" for nothing."""
        return self.texts.get(name, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnCard:
    """One column: its header, its first cells, what it is said to be, and why that was proposed."""

    header: str
    cells: tuple[str, ...]
    role: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowCard:
    """One row by its line: what it is in words; `wrong` where it cannot be kept or is asked about."""

    line: int
    words: str
    wrong: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ForAll:
    """What may be said for all rows: a field, or a choice where there are `options` (value, words)."""

    name: str
    label: str
    value: str
    hint: str = ""
    options: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedRow:
    """A row that cannot be kept, as it stands in the table, and why."""

    line: int
    why: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TablePage:
    """What the page shows: where a table is brought; with columns, how it is read; `ended`, what came of it.

    `remembered` says that its columns are as they were said before. `keep` is on the button that keeps it, ""
    where nothing can be kept. `kept` are the numbers of what came of it.
    """

    frame: Frame
    answer: str
    looks: str = ""
    remembered: str = ""
    columns: tuple[ColumnCard, ...] = ()
    roles: tuple[tuple[str, str], ...] = ()
    for_all: tuple[ForAll, ...] = ()
    problems: tuple[str, ...] = ()
    read: tuple[RowCard, ...] = ()
    refused: tuple[RowCard, ...] = ()
    left_refused: int = 0
    asked: tuple[RowCard, ...] = ()
    notes: tuple[str, ...] = ()
    keep: str = ""
    kept: tuple[int, ...] = ()
    ended: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone:
    """What was just taken back or brought again, with the numbers by which that is undone in its turn."""

    words: str
    numbers: tuple[int, ...]
    again: bool
    label: str = "Undo"


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """A table as it was read by what was said of it: its page, and every row of it that cannot be kept."""

    page: TablePage
    refused: tuple[RefusedRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TableUse:
    """What tables may be of: `key` is its step of an address, `back` those of the page it belongs to.

    `first` says that what holds for all rows stands before the columns. `look` reads a table; `keep` keeps
    what is new of it; `take_back` and `bring_again` take the numbers of what came of it.
    """

    key: str
    title: str
    blank: str
    lead: str
    all_heading: str
    kept_words: str
    back: tuple[str, ...]
    back_words: str
    fields: tuple[str, ...]
    look: Callable[[Workbench, str, Sheet, Given, date], Brought]
    keep: Callable[[Workbench, str, Sheet, Given, datetime, date], TablePage]
    take_back: Callable[[Workbench, Sequence[int], datetime, date], Undone]
    bring_again: Callable[[Workbench, Sequence[int], datetime, date], Undone]
    first: bool = False


def column_cards(
    sheet: Sheet, roles: Mapping[int, str], reasons: Sequence[str], said_before: datetime | None
) -> tuple[ColumnCard, ...]:
    """Every column with its role; where it was said before, that is the reason."""
    return tuple(
        ColumnCard(
            header=header,
            cells=sheet.column(at)[:FIRST_ROWS],
            role=roles.get(at, ""),
            reason=REMEMBERED if said_before is not None else reasons[at],
        )
        for at, header in enumerate(sheet.header)
    )


def shown_refused(rows: Iterable[RowCard]) -> tuple[tuple[RowCard, ...], int]:
    """The first of the rows that cannot be kept, and how many more there are."""
    every = tuple(rows)
    return every[:MOST_REFUSED], max(len(every) - MOST_REFUSED, 0)


def remembered_words(at: datetime | None) -> str:
    """That a table of this header was kept before; "" for none."""
    if at is None:
        return ""
    return f"A table with this header was kept on {day_words(at.date())}: its columns are as you said then."
