"""A rate that comes late: the offers that it brings into the prices are told, and asked about if absurd."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.parts.catalogue import add_part
from evenhand.desk.parts.offering import add_offer
from evenhand.desk.parts.rating import add_rate, drafted_rate
from evenhand.errors import BadRecord
from evenhand.records.prices import Currency
from evenhand.store.rates import rates
from evenhand.store.workbench import Workbench

DAY = date(2031, 5, 4)
DRELL = Currency(symbol="dl", decimals=0)
RATE = {"of": "cr", "of_decimals": "2", "rate": "2.45", "on": "2031-05-03"}


def offer(wb: Workbench, part: str, item: str, **more: str) -> None:
    given = {"part": part, "item": item, "on": "2031-05-04", **more}
    add_offer(wb, given, currency=DRELL, now=NOW, today=DAY)


@pytest.fixture
def card(wb: Workbench) -> str:
    """A card that usually costs 400 dl."""
    key = add_part(wb, {"kind": "graphics", "name": "Lantern 60"}, now=NOW).key
    offer(wb, key, "400")
    return key


def kept(wb: Workbench, **more: Any) -> str:
    return add_rate(wb, RATE | more, currency=DRELL, now=NOW, today=DAY)[1]


def test_what_it_brings_in_is_told_with_what_each_comes_to(wb: Workbench, card: str) -> None:
    offer(wb, card, "160", currency="cr", decimals="2")
    told = kept(wb).replace("\u00a0", " ")
    assert told == "It brings one offer into the prices: Lantern 60 for 160.00 cr, 392 dl."
    assert kept(wb, rate="2.46") == "", "it counts already"


def test_an_absurd_one_is_asked_about_before_it_counts(wb: Workbench, card: str) -> None:
    offer(wb, card, "16000", currency="cr", decimals="2")
    with pytest.raises(BadRecord, match=r"Offer 2 of Lantern 60 would be 39,200.dl: .* is that so"):
        kept(wb)
    assert not rates(wb), "the rate is not kept, so that the offer counts nowhere"
    assert "39,200\u00a0dl" in kept(wb, sure=True)


def test_an_offer_of_an_earlier_day_stays_out(wb: Workbench, card: str) -> None:
    offer(wb, card, "16000", currency="cr", decimals="2", on="2031-05-02")
    draft = drafted_rate(wb, RATE, currency=DRELL, today=DAY)
    assert (draft.asks, draft.told) == ("", "")
