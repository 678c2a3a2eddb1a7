"""A table of offers on its way in: its use of the page of tables, in words."""

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
from evenhand.desk.parts.offer_roles import NAMES, columns_proposed
from evenhand.desk.parts.offer_sheets import Read, ReadRow, Said, keep_offers, reading
from evenhand.desk.parts.offering import put_back_offers, take_back_offers
from evenhand.desk.parts.remembered import OFFERS as KEY
from evenhand.desk.parts.remembered import offers_at_first, remember_offers
from evenhand.desk.study.on_shelf import study_called
from evenhand.folders.cells import DayOrder
from evenhand.folders.sheets import Sheet
from evenhand.publish.numbers import capital, count_word, counted, listed
from evenhand.publish.offer_words import offer_words
from evenhand.records.builds import Part
from evenhand.records.offers import Seller
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

SELLERS = (
    (Seller.SHOP.value, "A shop"),
    (Seller.MARKET.value, "A seller on a marketplace"),
    (Seller.USED.value, "Somebody who sells it used"),
)


def look(wb: Workbench, study: str, sheet: Sheet, given: Given, today: date) -> Brought:
    """A table as it is read, nothing of it kept."""
    money = study_called(wb, study).currency
    first = offers_at_first(wb, sheet, money)
    said = first.said if given.columns is None else said_of(given)
    found = reading(wb, sheet, said, currency=money, today=today)()
    fine = [each for each in found.rows if each.offer is not None and not each.asks]
    refused, left = shown_refused(map(row_card, found.refused))
    as_before = first.at if said.columns == first.said.columns else None
    reasons = [each.reason for each in columns_proposed(wb, sheet, money)]
    page = TablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer=answer_of(found),
        looks=looks_of(found),
        remembered=remembered_words(as_before),
        columns=column_cards(sheet, said.columns, reasons, as_before),
        roles=(LEAVE_OUT, *NAMES.items()),
        for_all=for_all(wb, said, found),
        problems=found.problems,
        read=tuple(map(row_card, fine[:MOST_SHOWN])),
        refused=refused,
        left_refused=left,
        asked=tuple(map(row_card, found.asked)),
        notes=notes_of(found),
        keep="" if found.problems else keep_words(len(found.new)),
    )
    return Brought(page=page, refused=refused_rows(found))


def said_of(given: Given) -> Said:
    """What a form says of a table of offers."""
    return Said(
        columns=given.columns or {},
        part=given.text("part"),
        currency=given.text("currency"),
        decimals=given.text("decimals"),
        day=given.text("day"),
        seller=given.text("seller"),
        order=given.text("order"),
        sure=given.text("sure") == "yes",
    )


def for_all(wb: Workbench, said: Said, found: Read) -> tuple[ForAll, ...]:
    """What may be said for rows that do not say it; the order of days only where it is asked."""
    parts = sorted(shelves.every(wb, Part), key=lambda part: part.name.casefold())
    every = (("", "Each row says it"), *((part.key, part.name) for part in parts))
    orders = (("", "Not said yet"), *((each.value, each.value.capitalize()) for each in DayOrder))
    own = "Its sign; the study\u2019s own where nothing stands here."
    asked = (ForAll(name="order", label="In its days comes first", value=said.order, options=orders),)
    return (
        *(asked if found.asks_order else ()),
        ForAll(name="part", label="The part", value=said.part, options=every),
        ForAll(name="day", label="Seen on", value=said.day, hint="As 2031-05-04."),
        ForAll(name="currency", label="Currency", value=said.currency, hint=own),
        ForAll(
            name="decimals",
            label="Decimals",
            value=said.decimals,
            hint="Of a currency that is new here, 0 to 4.",
        ),
        ForAll(name="seller", label="Offered by", value=said.seller, options=SELLERS),
    )


def keep_words(new: int) -> str:
    """What is on the button; "" for nothing new."""
    return f"Keep {'the new offer' if new == 1 else f'the {new} new offers'}" if new else ""


def refused_rows(found: Read) -> tuple[RefusedRow, ...]:
    """Every row that cannot be kept or is asked about."""
    return tuple(
        RefusedRow(line=each.row.line, why=each.reason or each.asks, cells=each.row.cells)
        for each in (*found.refused, *found.asked)
    )


def keep(wb: Workbench, study: str, sheet: Sheet, given: Given, now: datetime, today: date) -> TablePage:
    """Keeps what is new of a table; what is not yet said is asked for first."""
    said, money = said_of(given), study_called(wb, study).currency
    once = reading(wb, sheet, said, currency=money, today=today)
    if once().problems:
        return look(wb, study, sheet, given, today).page
    with wb.writing():
        found, numbers = keep_offers(wb, once, now=now)
        remember_offers(wb, sheet, said, now=now)
    return kept_page(wb, study, found, numbers)


def kept_page(wb: Workbench, study: str, found: Read, numbers: Sequence[int]) -> TablePage:
    """What came of a table."""
    said, verb = capital(counted(len(numbers), "offer")), "is" if len(numbers) == 1 else "are"
    refused, left = shown_refused(map(row_card, (*found.refused, *found.asked)))
    return TablePage(
        frame=frame_of(load_study(wb, study), "builds"),
        answer=f"{said} of the table {verb} on record now." if numbers else "Nothing of it was new.",
        refused=refused,
        left_refused=left,
        notes=notes_of(found),
        kept=tuple(numbers),
        ended=True,
    )


def take_back(wb: Workbench, numbers: Sequence[int], now: datetime, _today: date) -> Undone:
    """Offers that came with one table count no more."""
    take_back_offers(wb, numbers, now=now)
    words = f"{_many(numbers)} taken back; they stay on record and count no more."
    return Undone(words=words, numbers=tuple(numbers), again=True)


def bring_again(wb: Workbench, numbers: Sequence[int], now: datetime, _today: date) -> Undone:
    """The same offers again."""
    back = tuple(offer.id for offer in put_back_offers(wb, numbers, now=now))
    return Undone(words=f"{_many(numbers)} put back.", numbers=back, again=False, label="Take them back")


def _many(numbers: Sequence[int]) -> str:
    return "1 offer was" if len(numbers) == 1 else f"{len(numbers)} offers were"


def answer_of(found: Read) -> str:
    """What a table comes to, as a sentence."""
    rows = counted(len(found.rows or found.sheet.rows), "row")
    if found.problems:
        return f"{capital(rows)} were found; say what is missing, and they are read."
    bad = len(found.refused)
    wrong = f", {count_word(bad)} of which cannot be read" if bad else ""
    return f"{capital(counted(len(found.new), 'new offer'))} in {rows}{wrong}."


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
        said, verb = capital(counted(found.again, "offer")), "was" if found.again == 1 else "were"
        told.append(f"{said} {verb} on record before, taken back or not: passed over.")
    if found.twice:
        told.append(f"{capital(counted(found.twice, 'row'))} said what another one did: kept once.")
    return tuple(told)


OFFERS = TableUse(
    key=KEY,
    title="Offers",
    blank="Bring a table of offers: whatever program wrote it, you say what its columns are.",
    lead="One row an offer: the part, the item\u2019s price, what comes on top and off, the day, the kind of "
    "seller, whether it was in stock. Nothing is kept before you have seen how it is read.",
    all_heading="What holds for rows that do not say it",
    kept_words="They count from now on, and can be taken back one by one with their part.",
    back=("builds",),
    back_words="Back to the builds",
    fields=("part", "day", "currency", "decimals", "seller", "order", "sure"),
    look=look,
    keep=keep,
    take_back=take_back,
    bring_again=bring_again,
)
"""Tables of offers."""
