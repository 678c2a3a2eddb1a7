"""Tables of offers: rows are offers or say why not, what is in doubt is asked about, twice adds nothing."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.parts.offer_roles import columns_proposed
from evenhand.desk.parts.offer_sheets import Read, Said, keep_offers, read_offers, reading
from evenhand.errors import BadRecord
from evenhand.folders.cells import DayOrder
from evenhand.folders.sheets import read_sheet
from evenhand.records.offers import Seller
from evenhand.records.prices import Currency
from evenhand.store import offers
from evenhand.store.workbench import Workbench

DAY = date(2031, 5, 4)
DRELL = Currency(symbol="dl", decimals=0)
TABLE = """Part;Price (dl);Postage;Rebate;Date;Seller;In stock;Where
Brellow K6;310;9;;28.4.2031;shop;yes;the counter
k6;1.298,00;;-20;3.5.2031;Second-hand;no;a stall
"""
ROLES = {0: "part", 1: "item", 2: "shipping", 3: "coupon", 4: "day", 5: "seller", 6: "stock", 7: "note"}


def read(wb: Workbench, text: str = TABLE, columns: dict[int, str] = ROLES, **said: Any) -> Read:
    sheet = read_sheet(text, name="a.csv")
    return read_offers(wb, sheet, Said(columns=columns, **said), currency=DRELL, today=DAY)


def kept(wb: Workbench, text: str = TABLE, columns: dict[int, str] = ROLES, **said: Any) -> Read:
    sheet = read_sheet(text, name="a.csv")
    once = reading(wb, sheet, Said(columns=columns, **said), currency=DRELL, today=DAY)
    found, numbers = keep_offers(wb, once, now=NOW)
    assert len(numbers) == len(found.new)
    return found


def test_columns_are_proposed_by_plain_words(stocked: Workbench) -> None:
    found = columns_proposed(stocked, read_sheet(TABLE, name="a.csv"), DRELL)
    assert [each.role for each in found] == ["part", "item", "shipping", "", "day", "seller", "stock", "note"]


def test_every_row_is_an_offer_as_it_was_written(stocked: Workbench) -> None:
    found = read(stocked)
    assert (found.mark, found.order, found.refused) == (",", DayOrder.DAY_FIRST, ())
    first, second = found.new
    assert (first.part, first.item_minor, first.shipping_minor, first.on) == ("k6", 310, 9, date(2031, 4, 28))
    assert (second.item_minor, second.coupon_minor, second.seller) == (1298, 20, Seller.USED)
    assert (second.in_stock, second.note) == (False, "a stall")
    assert [(row.name, row.total) for row in found.rows] == [
        ("Brellow K6", "319\u00a0dl"),
        ("Brellow K6", "1,278\u00a0dl"),
    ]


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("Brellow K7;310;;;1.5.2031;;;", "no part is called 'Brellow K7'; did you mean 'Brellow K6'?"),
        (";310;;;1.5.2031;;;", "no part is called ''"),
        ("k6;;;;1.5.2031;;;", "it has no price"),
        ("k6;0;;;1.5.2031;;;", "the item costs nothing"),
        ("k6;-3;;;1.5.2031;;;", "'-3' is no amount"),
        ("k6;310,50;;;1.5.2031;;;", "dl has no decimals"),
        ("k6;310;;400;1.5.2031;;;", "the coupon leaves"),
        ("k6;310;;;5.5.2031;;;", "is still to come"),
        ("k6;310;;;31.4.2031;;;", "is no day"),
        ("k6;310;;;;;;", "the day is missing"),
        ("k6;310;;;1.5.2031;a friend;;", "is no kind of seller"),
        ("k6;310;;;1.5.2031;;perhaps;", "is neither yes nor no"),
        ("k6;310", "it has 2 cells of 8"),
    ],
)
def test_a_row_that_cannot_be_says_why_with_its_line_and_the_others_stay(
    stocked: Workbench, row: str, reason: str
) -> None:
    found = kept(stocked, TABLE + row + "\n")
    (refused,) = found.refused
    assert refused.row.line == 4
    assert reason in refused.reason
    assert len(offers.offers_of(stocked, ["k6"])) == 2


def test_the_very_same_table_again_adds_nothing(stocked: Workbench) -> None:
    first = kept(stocked, TABLE + TABLE.splitlines()[1] + "\n")
    assert (len(first.new), first.twice, first.again) == (2, 1, 0)
    every = offers.offers_of(stocked, ["k6"])
    offers.take_back_offer(stocked, every[0].id, at=NOW)
    again = kept(stocked)
    assert (again.new, again.again) == ((), 2)
    assert offers.offers_of(stocked, ["k6"]) == every[1:]


def test_days_that_can_be_read_either_way_are_asked_about(stocked: Workbench) -> None:
    text = "part,price,day\nk6,310,1/5/2031\nk6,300,2/4/2031\n"
    columns = {0: "part", 1: "item", 2: "day"}
    asked = read(stocked, text, columns)
    assert asked.asks_order
    assert "comes first in its days" in asked.problems[0]
    with pytest.raises(BadRecord, match="comes first"):
        kept(stocked, text, columns)
    by_day = read(stocked, text, columns, order="day first")
    by_month = read(stocked, text, columns, order="month first")
    assert [offer.on for offer in by_day.new] == [date(2031, 5, 1), date(2031, 4, 2)]
    assert [offer.on for offer in by_month.new] == [date(2031, 1, 5), date(2031, 2, 4)]


def test_what_no_column_says_may_be_said_for_all_rows(stocked: Workbench) -> None:
    text = "price,shop name\n310.00,quay\n12.50,bay\n"
    lacking = read(stocked, text, {0: "item"})
    assert len(lacking.problems) == 2  # the part, the day
    found = read(
        stocked, text, {0: "item", 1: "note"},
        part="k6", day="2031-05-01", currency="cr", decimals="2", seller="marketplace",
    )  # fmt: skip
    assert [(o.item_minor, o.currency.symbol, o.seller, o.note) for o in found.new] == [
        (31000, "cr", Seller.MARKET, "quay"),
        (1250, "cr", Seller.MARKET, "bay"),
    ]


def test_absurd_amounts_are_left_out_until_they_are_confirmed(stocked: Workbench) -> None:
    kept(stocked)
    text = "part;price;day\nk6;31000;2031-05-01\nk6;305;2031-05-02\n"
    columns = {0: "part", 1: "item", 2: "day"}
    found = kept(stocked, text, columns)
    assert [row.row.line for row in found.asked] == [2]
    assert [offer.item_minor for offer in found.new] == [305]
    assert [offer.item_minor for offer in kept(stocked, text, columns, sure=True).new] == [31000]
