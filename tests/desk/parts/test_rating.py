"""Exchange rates out of text fields: refused at their field, asked about once, told where others disagree."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.parts.rating import add_rate, drafted_rate, put_back_rate, rate_stands, take_back_rate
from evenhand.errors import BadRecord, NotFound
from evenhand.records.prices import Currency
from evenhand.store.workbench import Workbench

DAY = date(2031, 5, 4)
DRELL = Currency(symbol="dl", decimals=0)
WHOLE = {"of": "cr", "of_decimals": "2", "rate": "2,450", "on": "2031-05-04"}


def draft(wb: Workbench, **more: Any) -> Any:
    return drafted_rate(wb, {**WHOLE, **more}, currency=DRELL, today=DAY)


def kept(wb: Workbench, **more: Any) -> Any:
    return add_rate(wb, {**WHOLE, **more}, currency=DRELL, now=NOW, today=DAY)


def test_a_rate_keeps_every_digit(wb: Workbench) -> None:
    rate, told = kept(wb)
    assert (str(rate.rate), rate.of.symbol, rate.into, told) == ("2.450", "cr", DRELL, "")
    assert kept(wb)[0] == rate


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"of": ""}, "of"),
        ({"of": "dl", "of_decimals": ""}, "of"),
        ({"of_decimals": ""}, "of_decimals"),
        ({"into": "mk"}, "into_decimals"),
        ({"rate": "0"}, "rate"),
        ({"rate": "-2"}, "rate"),
        ({"rate": ""}, "rate"),
        ({"on": "2031-05-05"}, "on"),
        ({"on": "soon"}, "on"),
    ],
)
def test_each_mistake_stands_at_its_field(wb: Workbench, wrong: dict[str, str], field: str) -> None:
    found = draft(wb, **wrong)
    assert found.record is None
    assert [(p.field, bool(p.todo)) for p in found.problems] == [(field, True)]


@pytest.mark.parametrize(
    ("rate", "asked"), [("4.89", False), ("4.9", True), ("1.23", False), ("1.225", True)]
)
def test_a_rate_twice_or_half_the_last_is_asked_about(wb: Workbench, rate: str, asked: bool) -> None:
    kept(wb, on="2031-05-01")
    assert bool(draft(wb, rate=rate).asks) is asked
    if asked:
        with pytest.raises(BadRecord, match="The last rate on record"):
            kept(wb, rate=rate)
    assert kept(wb, rate=rate, sure=True)[0].rate == Decimal(rate)


def test_a_rate_the_wrong_way_round_is_asked_about(wb: Workbench) -> None:
    kept(wb)
    assert draft(wb, of="dl", of_decimals="", into="cr").asks
    assert not draft(wb, of="dl", of_decimals="", into="cr", rate="0.408").asks


def test_rates_that_go_round_and_do_not_come_back_are_told_and_kept(wb: Workbench) -> None:
    kept(wb, of="mk", rate="5")
    kept(wb, of="mk", into="cr", into_decimals="2", rate="2")
    found, told = kept(wb, of_decimals="", rate="3")
    assert found.rate == 3
    assert told == (
        "By the rates through mk one cr is 2.5 dl on that day, not 3: these rates do not agree. Each amount "
        "is changed by the direct one."
    )
    assert draft(wb, of_decimals="", rate="2.55").told == ""


def test_a_rate_is_taken_back_and_put_back(wb: Workbench) -> None:
    rate, _ = kept(wb)
    take_back_rate(wb, rate.id, now=NOW)
    assert not rate_stands(wb, rate)
    with pytest.raises(NotFound, match="taken back before"):
        take_back_rate(wb, rate.id, now=NOW)
    assert rate_stands(wb, put_back_rate(wb, rate.id, now=NOW))
    with pytest.raises(NotFound, match="no rate 99"):
        take_back_rate(wb, 99, now=NOW)
