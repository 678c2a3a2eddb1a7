"""Prices are added, taken back and put back by hand; the latest day counts."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.study.away import StudyIsAway, put_study_away
from evenhand.desk.study.briefing import change_study
from evenhand.desk.study.quoting import (
    add_price,
    add_study_price,
    later_price,
    price_numbered,
    prices_told,
    put_back,
    read_back,
    stands,
    take_back,
)
from evenhand.errors import BadRecord, NotFound
from evenhand.records.prices import Currency
from evenhand.store.workbench import Workbench

TODAY = date(2031, 5, 4)
DRELL = Currency(symbol="dl", decimals=0)


@pytest.fixture
def priced(stocked: Workbench) -> Workbench:
    """The small study, which counts in whole drell."""
    change_study(stocked, "quay", {"currency": {"symbol": "dl", "decimals": 0}}, now=NOW)
    return stocked


def say(wb: Workbench, amount: str, **more: Any) -> int:
    given = {"build": "wren", "price": amount, **more}
    return add_study_price(wb, "quay", given, now=NOW, today=TODAY).id


def test_a_price_is_of_today_unless_a_day_is_said(priced: Workbench) -> None:
    number = say(priced, "1,012", note="counter")
    price = price_numbered(priced, "quay", number)
    assert (price.minor, price.on, price.note) == (1012, TODAY, "counter")


def test_the_latest_day_counts_whatever_was_said_last(priced: Workbench) -> None:
    late = say(priced, "742")
    say(priced, "700", on="2031-05-01")
    assert prices_told(priced, "quay").counts == {"wren": late}
    assert "is of a later day" in later_price(priced, "quay", "wren", "2031-05-01")
    assert later_price(priced, "quay", "wren", "2031-05-04") == ""


def test_a_price_that_was_taken_back_is_put_back_once(priced: Workbench) -> None:
    number = say(priced, "742")
    price = take_back(priced, "quay", number, now=NOW)
    assert not stands(priced, price)
    assert prices_told(priced, "quay").every == ()
    again = [put_back(priced, "quay", number, now=NOW) for _ in range(2)]
    assert again[0] == again[1]
    assert [each.minor for each in prices_told(priced, "quay").every] == [742]


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"price": "a lot"}, "price"),
        ({"price": "7.5"}, "price"),
        ({"price": "0"}, "price"),
        ({"on": "yesterday"}, "on"),
        ({"on": "2031-05-05"}, "on"),
        ({"build": "heron"}, "build"),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field(
    priced: Workbench, given: dict[str, str], field: str
) -> None:
    with pytest.raises(BadRecord) as refused:
        add_study_price(priced, "quay", {"build": "wren", "price": "7", **given}, now=NOW, today=TODAY)
    assert refused.value.where == field
    assert prices_told(priced, "quay").every == ()


def test_a_day_to_come_is_refused_as_that_of_an_offer_is(priced: Workbench) -> None:
    with pytest.raises(BadRecord, match="5 May 2031 is still to come: nobody can have seen it"):
        say(priced, "742", on="2031-05-05")
    with pytest.raises(BadRecord, match="still to come"):
        add_price(priced, "wren", {"price": "7", "on": "2032-01-01"}, currency=None, now=NOW, today=TODAY)


def test_a_price_far_from_the_last_one_is_asked_about_once(priced: Workbench) -> None:
    say(priced, "998", on="2031-05-01")
    asked = "99,800\u00a0dl is 100 times the 998\u00a0dl that this build cost on 1 May 2031: is that so"
    with pytest.raises(BadRecord, match=asked) as refused:
        say(priced, "99800")
    assert refused.value.where == "price"
    with pytest.raises(BadRecord, match="less than a twentieth of the 998"):
        add_price(priced, "wren", {"price": "49"}, currency=None, now=NOW, today=TODAY)
    given = {"build": "wren", "price": "99800"}
    assert add_study_price(priced, "quay", given, now=NOW, today=TODAY, sure=True).minor == 99800
    assert say(priced, "19960", on="2031-05-02")  # twenty times is not asked about


def test_a_study_without_a_currency_asks_for_it(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="says no currency"):
        say(stocked, "742")
    with pytest.raises(BadRecord, match="no study of it says a currency"):
        add_price(stocked, "wren", {"price": "742"}, currency=None, now=NOW, today=TODAY)


def test_a_currency_that_comes_with_a_price_is_the_studys_from_then_on(stocked: Workbench) -> None:
    _, studies = add_price(stocked, "wren", {"price": "742"}, currency=DRELL, now=NOW, today=TODAY)
    assert studies == ("quay",)
    assert prices_told(stocked, "quay").currency == DRELL


def test_prices_of_other_studies_cannot_be_taken_back_here(priced: Workbench) -> None:
    with pytest.raises(NotFound, match="no price 99"):
        take_back(priced, "quay", 99, now=NOW)


def test_nothing_is_said_or_taken_back_while_the_study_is_put_away(priced: Workbench) -> None:
    number = say(priced, "742")
    put_study_away(priced, "quay", note="", by="this computer", now=NOW)
    with pytest.raises(StudyIsAway):
        take_back(priced, "quay", number, now=NOW)
    with pytest.raises(StudyIsAway):
        say(priced, "700")
    assert prices_told(priced, "quay").counts == {"wren": number}


def test_an_amount_is_echoed_as_it_was_read() -> None:
    assert read_back("1.012,50", Currency(symbol="cr")) == "1,012.50\u00a0cr"
    assert read_back("1.012,50", DRELL) == ""
