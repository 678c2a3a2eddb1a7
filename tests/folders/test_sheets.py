"""Tables that people bring: taken apart whatever set them apart, cells read as they are meant or refused."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.errors import BadRecord
from evenhand.folders.cells import DayOrder, amount_of, day_of, day_order, decimal_mark, is_amount, is_day
from evenhand.folders.sheet_roles import Role, chosen, proposed
from evenhand.folders.sheets import DELIMITERS, read_sheet
from evenhand.records.amounts import plain_amount
from evenhand.records.prices import Currency

CROWN, DRELL = Currency(symbol="cr"), Currency(symbol="dl", decimals=0)
CELLS = st.text("abcä ,;|\"'0123456789.", max_size=8).map(lambda text: " ".join(text.split()))


@given(
    rows=st.lists(st.lists(CELLS, min_size=3, max_size=3).filter(any), min_size=3, max_size=12),
    delimiter=st.sampled_from(sorted(DELIMITERS)),
)
def test_what_was_written_with_quotes_comes_back(rows: list[list[str]], delimiter: str) -> None:
    """A number of rows with commas of their own may look as even; those are quoted, and so are told apart."""
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, quoting=csv.QUOTE_ALL).writerows([["part", "price", "note"], *rows])
    sheet = read_sheet(out.getvalue(), name="a.csv")
    assert sheet.delimiter == delimiter
    found = [list(row.cells) for row in sheet.rows]
    assert found == rows if sheet.named else found[1:] == rows
    assert [row.line for row in sheet.rows] == list(range(2 - (not sheet.named), 2 + len(rows)))


@pytest.mark.parametrize(
    ("text", "header", "looks"),
    [
        ("part;price\nk6;310,00\n", ("part", "price"), "set apart by semicolons, with a header"),
        ("part\tprice\r\nk6\t310,00\r\n", ("part", "price"), "set apart by tabs, with a header"),
        ("k6,310\nm1,90\n", ("column 1", "column 2"), "set apart by commas, without a header"),
        (
            "Prices of May\n\npart|price\nk6|310\nm1|90\n",
            ("part", "price"),
            "set apart by bars, with a header",
        ),
    ],
)
def test_its_looks_are_told(text: str, header: tuple[str, ...], looks: str) -> None:
    sheet = read_sheet(text, name="a.csv")
    assert (sheet.header, sheet.looks) == (header, looks)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_letters_are_read_in_the_usual_encodings(encoding: str) -> None:
    sheet = read_sheet("part;price\nÖsk & Dünsolt;310\n".encode(encoding), name="a.csv")
    assert sheet.rows[0].cells[0] == "Ösk & Dünsolt"


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "nothing in it"),
        (b"\n \n", "nothing in it"),
        (b"part,price\n", "no row below it"),
        (b"only words\nand more\n", "no columns"),
        (b"PK\x03\x04\x00\x00", "no text"),
        (b"a,b\n" + b"1,2\n" * 2_000_000, "more than 2 MiB"),
        (b"\n".join([b",".join([b"1"] * 70)] * 2), "70 columns"),
    ],
)  # fmt: skip
def test_what_is_no_table_is_refused_with_what_to_do(data: bytes, told: str) -> None:
    with pytest.raises(BadRecord, match=told) as refused:
        read_sheet(data, name="a.csv")
    assert refused.value.todo
    assert refused.value.where == "a.csv"


def test_rows_of_another_width_are_kept_with_the_reason() -> None:
    rows = read_sheet("part,price\nk6,310\nm1\nc2,5,6\nd4,7,\n", name="a.csv").rows
    assert [(row.line, bool(row.reason)) for row in rows] == [(2, False), (3, True), (4, True), (5, False)]


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["28/5/2031", "4/5/2031"], DayOrder.DAY_FIRST),
        (["5/28/2031", "4/5/2031"], DayOrder.MONTH_FIRST),
        (["4/5/2031"], None),
        (["2031-05-04"], None),
    ],
)
def test_which_comes_first_is_told_by_what_can_be_no_month(cells: list[str], order: DayOrder | None) -> None:
    assert day_order(cells) is order


@given(day=st.dates(date(1900, 1, 1), date(2099, 12, 31)), order=st.sampled_from(DayOrder))
def test_days_come_back_however_they_are_written(day: date, order: DayOrder) -> None:
    first, second = (day.day, day.month) if order is DayOrder.DAY_FIRST else (day.month, day.day)
    for text in (
        day.isoformat(), f"{day:%Y/%m/%d}", f"{first}.{second}.{day.year}",
        f"{first:02}/{second:02}/{day.year} 9:30", f"{day.day} {day:%B} {day.year}",
        f"{day:%b} {day.day}, {day.year}", f"{day.isoformat()}T09:30:00+02:00",
    ):  # fmt: skip
        assert is_day(text), text
        assert day_of(text, order) == day, text


@pytest.mark.parametrize("cell", ["31.2.2031", "2031-13-01", "soon", "1.1", ""])
def test_what_is_no_day_is_refused(cell: str) -> None:
    with pytest.raises(BadRecord):
        day_of(cell, DayOrder.DAY_FIRST)


@given(minor=st.integers(1, 10**11), mark=st.sampled_from(".,"), grouped=st.booleans())
def test_amounts_come_back_with_either_mark(minor: int, mark: str, grouped: bool) -> None:
    whole, _, part = plain_amount(minor, CROWN).partition(".")
    written = f"{int(whole):,}".replace(",", "." if mark == "," else ",") if grouped else whole
    assert is_amount(f"{written}{mark}{part} cr")
    assert amount_of(f"{written}{mark}{part} cr", CROWN, mark) == minor


@pytest.mark.parametrize(
    ("cells", "mark"),
    [(["1.012,50"], ","), (["1,012.50"], "."), (["12.5", "1,012"], "."), (["1.012"], ""), (["998"], "")],
)
def test_the_decimal_mark_is_told_by_the_column(cells: list[str], mark: str) -> None:
    assert decimal_mark(cells) == mark


@pytest.mark.parametrize(
    ("cell", "money", "mark"),
    [
        ("-5", CROWN, "."),
        ("1.2.3", CROWN, ","),
        ("12.345", CROWN, "."),
        ("998.50", DRELL, "."),
        ("x", CROWN, ""),
    ],
)
def test_what_is_no_amount_is_refused(cell: str, money: Currency, mark: str) -> None:
    with pytest.raises(BadRecord):
        amount_of(cell, money, mark)


def test_columns_are_proposed_by_words_then_by_cells_each_role_once() -> None:
    roles = (
        Role(key="item", name="Price", words=("price",), shape=is_amount, alone=is_amount),
        Role(key="day", name="Day", words=("date",), shape=is_day, alone=is_day),
        Role(key="note", name="Note", words=("note",)),
    )
    sheet = read_sheet(
        "Price list,Unit price,When,Notes\nspring,310,2031-05-04,x\nspring,90,2031-05-05,y\n", name="a"
    )
    found = proposed(sheet, roles)
    assert [each.role for each in found] == ["", "item", "day", ""]
    assert "“price”" in found[1].reason
    assert chosen(sheet, {1: "item", 3: "item", 9: "day", 0: ""}) == {"item": 1}
