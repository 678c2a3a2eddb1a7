"""A table of parts that somebody brings: what its columns are is said, each row is a part or says why not.

A row of a part that is there already notes what the table says otherwise; one of a part that is not there
adds it. A cell that is empty says nothing; one that says "unknown" says that it was looked for in vain.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import partial

from evenhand.desk.parts.catalogue import add_part, is_alike
from evenhand.desk.parts.items import facts_by_part
from evenhand.desk.parts.known import checked_value, fact_kind, known_facts
from evenhand.desk.parts.noting import kept
from evenhand.desk.parts.part_roles import DAY, NAME, NOTE
from evenhand.desk.parts.part_roles import SOURCE as FROM
from evenhand.desk.parts.values import read_value
from evenhand.errors import BadRecord
from evenhand.fit.known import FactKind
from evenhand.folders.cells import DayOrder, day_of, day_order, needs_order
from evenhand.folders.sheet_roles import chosen, plain_words
from evenhand.folders.sheets import Row, Sheet
from evenhand.publish.fact_words import value_words
from evenhand.records.builds import Part
from evenhand.records.part_facts import PartFact
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

NO_SOURCE = (
    "Say where the facts of this table are from: give a column of sources, or one answer for all rows "
    "that do not say it, such as a data sheet, a ruler or a receipt."
)
UNKNOWN = ("unknown", "not known", "?", "n/a")


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidOfParts:
    """What is said of a table: the role of each column by its place, and of which kind its parts are.

    `source` and `day` hold for rows that do not say them.
    """

    columns: Mapping[int, str]
    kind: str = ""
    source: str = ""
    day: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRead:
    """A row as it was read: the part's `name`, its key ("" for a new one), what is to be noted of it."""

    row: Row
    name: str = ""
    key: str = ""
    note: str = ""
    facts: tuple[PartFact, ...] = ()
    words: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsRead:
    """A table as it was read; `problems` keep all of it from being read."""

    sheet: Sheet
    problems: tuple[str, ...] = ()
    rows: tuple[PartRead, ...] = ()
    order: DayOrder | None = None

    @property
    def refused(self) -> tuple[PartRead, ...]:
        """The rows that cannot be kept."""
        return tuple(each for each in self.rows if each.reason)

    @property
    def fresh(self) -> tuple[PartRead, ...]:
        """The rows that say anything new."""
        return tuple(each for each in self.rows if not each.reason and (each.facts or not each.key))

    @property
    def lacks(self) -> tuple[str, ...]:
        """What has to be said before anything of it is kept: its problems, or where its facts are from."""
        said = all(fact.source for each in self.fresh for fact in each.facts)
        return self.problems or (() if said else (NO_SOURCE,))


def read_parts(wb: Workbench, sheet: Sheet, said: SaidOfParts, *, today: date) -> PartsRead:
    """Every row of a table as a part with its facts, or why it is none; nothing is kept yet."""
    at = chosen(sheet, said.columns)
    days = sheet.column(at[DAY]) if DAY in at else ()
    order = day_order(days)
    problems = []
    if not said.kind:
        problems.append("Say of which kind the parts of this table are.")
    if NAME not in at:
        problems.append("Say which column names the part.")
    if needs_order(days) and order is None:
        problems.append(
            "Each of its days can be read either way: leave that column out, and say the day below."
        )
    if problems:
        return PartsRead(sheet=sheet, problems=tuple(problems))
    parts = [part for part in shelves.every(wb, Part) if plain_words(part.kind) == plain_words(said.kind)]
    stands = facts_by_part(wb, (part.key for part in parts))
    reader = _Reader(at=at, said=said, parts=tuple(parts), stands=stands, order=order, today=today)
    return PartsRead(sheet=sheet, rows=tuple(map(reader.read, sheet.rows)), order=order)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reader:
    """Reads rows one by one; a part that stands there twice is refused the second time."""

    at: Mapping[str, int]
    said: SaidOfParts
    parts: tuple[Part, ...]
    stands: Mapping[str, Mapping[str, PartFact]]
    order: DayOrder | None
    today: date
    seen: dict[str, int] = field(init=False, default_factory=dict)

    def read(self, row: Row) -> PartRead:
        """One row."""
        if row.reason:
            return PartRead(row=row, reason=row.reason)
        try:
            return self._part(row)
        except BadRecord as wrong:
            return PartRead(row=row, reason=f"{wrong.found}; {wrong.todo}" if wrong.todo else wrong.found)

    def _cell(self, row: Row, role: str) -> str:
        return row.cells[self.at[role]] if role in self.at else ""

    def _part(self, row: Row) -> PartRead:
        name = self._cell(row, NAME)
        if not name:
            raise BadRecord("it names no part", todo="fill its name in, or leave the row out")
        before = self.seen.setdefault(plain_words(name), row.line)
        if before != row.line:
            raise BadRecord(f"line {before} names this part already", todo="keep one of them")
        alike = (p for p in self.parts if p.key == name or is_alike(p, self.said.kind, name))
        known = next(alike, None)
        facts = tuple(self._facts(row, known))
        return PartRead(
            row=row, name=known.name if known else name, key=known.key if known else "",
            note=self._cell(row, NOTE), facts=facts, words=", ".join(map(self._words, facts)),
        )  # fmt: skip

    def _words(self, fact: PartFact) -> str:
        """What is to be noted, beside what stands of it so far."""
        about, stands = self._about(fact), self.stands.get(fact.part, {}).get(fact.fact)
        was = "" if stands is None else f" (so far {value_words(about, stands.value)}, {stands.source})"
        return f"{about.name} {value_words(about, fact.value)}{was}"

    def _about(self, fact: PartFact) -> FactKind:
        return fact_kind(self.said.kind, fact.fact)

    def _facts(self, row: Row, part: Part | None) -> list[PartFact]:
        """What the row says otherwise than it stands."""
        source = self._cell(row, FROM) or self.said.source.strip()
        day, found = self._day(row), []
        for key, about in known_facts(self.said.kind).items():
            cell = self._cell(row, key)
            if not cell:
                continue
            try:
                value = None if cell.casefold() in UNKNOWN else read_value(about, cell)
                value = checked_value(self.said.kind, key, value, where="a part")
            except BadRecord as wrong:
                raise BadRecord(f"{about.name}: {wrong.found}", todo=wrong.todo) from wrong
            stands = self.stands.get(part.key, {}).get(key) if part else None
            if stands is None or stands.value != value:
                fact = PartFact(part=part.key if part else "", fact=key, value=value, source=source, on=day)
                found.append(fact)
        return found

    def _day(self, row: Row) -> date:
        cell = self._cell(row, DAY) or self.said.day.strip()
        day = day_of(cell, self.order) if cell else self.today
        if day > self.today:
            raise BadRecord(f"{day.isoformat()} is still to come", todo="write when it was read")
        return day


def keep_parts(
    wb: Workbench, read: Callable[[], PartsRead], *, kind: str, now: datetime
) -> tuple[PartsRead, list[int]]:
    """Reads a table once more and keeps what is new of it, all or none; with the numbers of its facts."""
    with wb.writing():
        found = read()
        if found.lacks:
            todo = "say it, and bring it again"
            raise BadRecord(found.lacks[0].rstrip("."), where=found.sheet.name, todo=todo)
        numbers = []
        for each in found.fresh:
            given = {"kind": kind, "name": each.name, "note": each.note}
            key = each.key or add_part(wb, given, now=now).key
            noted = kept(wb, key, [replace(fact, part=key) for fact in each.facts], now=now)
            numbers += [fact.id for fact in noted]
    return found, numbers


def reading_parts(wb: Workbench, sheet: Sheet, said: SaidOfParts, *, today: date) -> Callable[[], PartsRead]:
    """`read_parts` of these, to be asked once or again."""
    return partial(read_parts, wb, sheet, said, today=today)
