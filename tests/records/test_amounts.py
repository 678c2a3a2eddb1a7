"""Amounts of money: what is read is what was written, to the last unit, or it is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.errors import BadRecord
from evenhand.records.amounts import MOST_MINOR, minor_of, plain_amount
from evenhand.records.prices import Currency

WHOLE, CENTS, MILLS = (Currency(symbol="dl", decimals=n) for n in (0, 2, 3))


@given(st.integers(1, MOST_MINOR), st.integers(0, 4))
def test_a_plain_amount_comes_back(minor: int, decimals: int) -> None:
    currency = Currency(symbol="dl", decimals=decimals)
    assert minor_of(plain_amount(minor, currency), currency) == minor


@pytest.mark.parametrize(
    ("text", "currency", "minor"),
    [
        ("1,012", WHOLE, 1012),
        ("1.012", WHOLE, 1012),
        ("1 012 dl", WHOLE, 1012),
        ("1\u202f012\u00a0dl", WHOLE, 1012),
        ("dl 1012", WHOLE, 1012),
        ("1.012,50", CENTS, 101250),
        ("1,012.5", CENTS, 101250),
        ("1,012", CENTS, 101200),
        ("1.012", MILLS, 1012),
        ("1,234,567.89", CENTS, 123456789),
    ],
)
def test_marks_are_read_as_people_write_them(text: str, currency: Currency, minor: int) -> None:
    assert minor_of(text, currency) == minor


@pytest.mark.parametrize("text", ["", "free", "-5", "1,01,2", "0", "1e3", "998 cr", "١٢", "9" * 20])
def test_what_is_no_amount_is_refused_with_what_was_written(text: str) -> None:
    with pytest.raises(BadRecord, match="is no amount"):
        minor_of(text, WHOLE)


def test_more_decimals_than_the_currency_has_are_not_rounded_away() -> None:
    with pytest.raises(BadRecord, match="2 decimals"):
        minor_of("12.3456", CENTS)
