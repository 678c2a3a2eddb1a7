"""A table of offers that somebody brings: what its columns are is said, each row is an offer or says why not.

The very same table again adds nothing: an offer that was on record before is passed over, taken back or not.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import partial

from evenhand.desk.parts.currencies import currency_called
from evenhand.desk.parts.given import day_said
from evenhand.desk.parts.offer_roles import SELLERS
from evenhand.desk.parts.offering import seller_said
from evenhand.desk.parts.usual_prices import Beside, asked_about, beside_of
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.study.shelving import refuse_closed
from evenhand.errors import BadRecord, nearest
from evenhand.folders.cells import (
    DayOrder,
    amount_of,
    day_of,
    day_order,
    decimal_mark,
    needs_order,
    yes_of,
)
from evenhand.folders.sheet_roles import chosen, plain_words
from evenhand.folders.sheets import Row, Sheet
from evenhand.publish.money_words import amount
from evenhand.records.builds import Part
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency
from evenhand.store import offers as offer_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

AMOUNTS = ("item", "shipping", "tax", "coupon")


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What is said of a table: the role of each column by its place, and what holds for rows without it.

    `order` says which comes first in days; `sure` keeps amounts that were asked about.
    """

    columns: Mapping[int, str]
    part: str = ""
    currency: str = ""
    decimals: str = ""
    day: str = ""
    seller: str = ""
    order: str = ""
    sure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadRow:
    """A row as it was read: an offer with its part's name and total in words, or the `reason` why it is none.

    `asks` is what is asked about its amount.
    """

    row: Row
    offer: Offer | None = None
    name: str = ""
    total: str = ""
    reason: str = ""
    asks: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """A table as it was read. `problems` keep all of it from being read: a column that nobody named, or days.

    Of its offers `again` were on record before, `twice` stand in the table more than once.
    """

    sheet: Sheet
    problems: tuple[str, ...] = ()
    rows: tuple[ReadRow, ...] = ()
    again: int = 0
    twice: int = 0
    mark: str = ""
    order: DayOrder | None = None
    asks_order: bool = False
    new: tuple[Offer, ...] = field(default=(), repr=False)

    @property
    def refused(self) -> tuple[ReadRow, ...]:
        """The rows that cannot be offers."""
        return tuple(each for each in self.rows if each.reason)

    @property
    def asked(self) -> tuple[ReadRow, ...]:
        """The rows whose amount is asked about."""
        return tuple(each for each in self.rows if each.asks)


def read_offers(wb: Workbench, sheet: Sheet, said: Said, *, currency: Currency | None, today: date) -> Read:
    """Every row of a table as an offer, or why it is none; nothing is kept yet."""
    at = chosen(sheet, said.columns)
    days = sheet.column(at["day"]) if "day" in at else ()
    order = day_order(days) or (DayOrder(said.order) if said.order in set(DayOrder) else None)
    asks_order = needs_order(days) and day_order(days) is None
    problems = tuple(_lacks(at, said, currency, unordered=asks_order and order is None))
    mark = decimal_mark([cell for name in AMOUNTS if name in at for cell in sheet.column(at[name])])
    if problems:
        return Read(sheet=sheet, problems=problems, mark=mark, asks_order=asks_order)
    beside = beside_of(wb, [part.key for part in shelves.every(wb, Part)], currency)
    reader = _Reader(at=at, said=said, beside=beside, order=order, mark=mark, today=today)
    rows = tuple(map(reader.read, sheet.rows))
    found = [each.offer for each in rows if each.offer is not None and not each.asks]
    fresh = tuple(dict.fromkeys(found))
    ever = {replace(o, id=0) for o in offer_store.offers_of(wb, {o.part for o in fresh}, ever=True)}
    new = tuple(offer for offer in fresh if offer not in ever)
    return Read(
        sheet=sheet, rows=rows, again=len(fresh) - len(new), twice=len(found) - len(fresh), mark=mark,
        order=order, asks_order=asks_order, new=new,
    )  # fmt: skip


def _lacks(at: Mapping[str, int], said: Said, currency: Currency | None, *, unordered: bool) -> Sequence[str]:
    told = []
    if "item" not in at:
        told.append("Say which column is the item’s price.")
    if "part" not in at and not said.part:
        told.append("Say which column names the part, or of which part all rows are.")
    if "day" not in at and not said.day:
        told.append("Say which column is the day, or of which day all rows are.")
    if "currency" not in at and not said.currency and currency is None:
        told.append("Say which column is the currency, or in which one all amounts are.")
    if unordered:
        told.append("Say which comes first in its days: every one of them can be read either way.")
    return told


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reader:
    """Reads rows one by one."""

    at: Mapping[str, int]
    said: Said
    beside: Beside
    order: DayOrder | None
    mark: str
    today: date
    names: dict[str, str] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        for part in self.beside.parts.values():
            self.names.setdefault(plain_words(part.name), part.key)
        self.names.update({plain_words(key): key for key in self.beside.parts})

    def read(self, row: Row) -> ReadRow:
        """One row."""
        if row.reason:
            return ReadRow(row=row, reason=row.reason)
        try:
            offer = self._offer(row)
        except BadRecord as wrong:
            return ReadRow(row=row, reason=f"{wrong.found}; {wrong.todo}" if wrong.todo else wrong.found)
        asks = "" if self.said.sure else asked_about(offer, self.beside)
        name = self.beside.parts[offer.part].name
        return ReadRow(
            row=row, offer=offer, name=name, total=amount(offer.total_minor, offer.currency), asks=asks
        )

    def _cell(self, row: Row, role: str) -> str:
        return row.cells[self.at[role]] if role in self.at else ""

    def _offer(self, row: Row) -> Offer:
        money = self._money(row)
        item, *extras = (self._amount(row, name, money) for name in AMOUNTS)
        if item < 1:
            raise BadRecord("the item costs nothing", todo="give an amount above 0")
        offer = Offer(
            part=self._part(row), item_minor=item, shipping_minor=extras[0], tax_minor=extras[1],
            coupon_minor=extras[2], currency=money, on=self._day(row), seller=self._seller(row),
            in_stock=yes_of(stock) if (stock := self._cell(row, "stock")) else True,
            note=self._cell(row, "note"),
        )  # fmt: skip
        if offer.total_minor < 1:
            raise BadRecord(f"the coupon leaves {amount(offer.total_minor, money)} to pay")
        return offer

    def _part(self, row: Row) -> str:
        said = self._cell(row, "part") or self.said.part
        key = self.names.get(plain_words(said))
        if key is None:
            names = [part.name for part in self.beside.parts.values()]
            raise BadRecord(f"no part is called '{said[:60]}'", todo=nearest(said, names) if names else "")
        return key

    def _money(self, row: Row) -> Currency:
        said = self._cell(row, "currency") or self.said.currency
        if not said and self.beside.currency is not None:
            return self.beside.currency
        found = currency_called(said, self.beside.currencies, decimals=self.said.decimals)
        if isinstance(found, FieldProblem):
            raise BadRecord(found.found, todo=found.todo)
        return found

    def _amount(self, row: Row, name: str, money: Currency) -> int:
        cell = self._cell(row, name)
        if not cell and name == "item":
            raise BadRecord("it has no price", todo="fill it in, or leave the row out")
        bare = cell.lstrip("-\u2212") if name == "coupon" else cell  # what comes off may stand below 0
        return amount_of(bare, money, self.mark) if bare else 0

    def _day(self, row: Row) -> date:
        cell = self._cell(row, "day")
        day = day_of(cell, self.order) if cell else day_said(self.said.day, today=self.today)
        return day_said(day.isoformat(), today=self.today)

    def _seller(self, row: Row) -> Seller:
        cell = self._cell(row, "seller")
        return SELLERS.get(plain_words(cell)) or seller_said(cell or self.said.seller)


def keep_offers(wb: Workbench, read: Callable[[], Read], *, now: datetime) -> tuple[Read, tuple[int, ...]]:
    """Reads a table once more and keeps what is new of it, all or none; with the numbers of these offers.

    Raises BadRecord and StudyIsAway.
    """
    with wb.writing():
        found = read()
        if found.problems:
            raise BadRecord(
                found.problems[0].rstrip("."), where=found.sheet.name, todo="say it, and bring it again"
            )
        for key in dict.fromkeys(offer.part for offer in found.new):
            refuse_closed(wb, shelves.one(wb, Part, key))
        kept = offer_store.add_offers(wb, found.new, at=now)
    return found, tuple(offer.id for offer in kept)


def reading(
    wb: Workbench, sheet: Sheet, said: Said, *, currency: Currency | None, today: date
) -> Callable[[], Read]:
    """`read_offers` of these, to be asked once or again."""
    return partial(read_offers, wb, sheet, said, currency=currency, today=today)
