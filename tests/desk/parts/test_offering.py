"""Offers out of text fields: read whole, refused at their field, asked about once; taken back."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given as hypothetically
from hypothesis import strategies as st
from tests.desk.small_folder import NOW

from evenhand.desk.parts.catalogue import add_part
from evenhand.desk.parts.offering import (
    add_offer,
    drafted_offer,
    offer_stands,
    put_back_offer,
    take_back_offer,
)
from evenhand.desk.parts.usual_prices import Beside, asked_about, beside_of
from evenhand.desk.study.away import StudyIsAway, put_study_away
from evenhand.errors import BadRecord, NotFound
from evenhand.records.amounts import plain_amount
from evenhand.records.builds import Part
from evenhand.records.offers import Seller
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.store import offers, rates
from evenhand.store.workbench import Workbench

DAY = date(2031, 5, 4)
CROWN, DRELL = Currency(symbol="cr"), Currency(symbol="dl", decimals=0)
PART = Part(key="k6", kind="processor", name="Brellow K6")
BESIDE = Beside(parts={"k6": PART}, currency=DRELL, currencies=(DRELL, CROWN), usual={"k6": 400})
WHOLE = {"part": "k6", "item": "399", "on": "2031-05-04"}


def draft(**more: Any) -> Any:
    return drafted_offer({**WHOLE, **more}, BESIDE, today=DAY)


def test_an_offer_is_read_field_by_field() -> None:
    found = draft(
        item="1.020,50 cr", shipping="4,90", tax="0", coupon="", currency="CR", seller="used", note=" b "
    )
    offer = found.record
    assert (offer.item_minor, offer.shipping_minor, offer.tax_minor, offer.coupon_minor) == (
        102050,
        490,
        0,
        0,
    )
    assert (offer.currency, offer.seller, offer.in_stock, offer.note) == (CROWN, Seller.USED, True, "b")


@pytest.mark.parametrize(
    ("wrong", "field", "told"),
    [
        ({"part": "k7"}, "part", "no part is called 'k7'"),
        ({"item": ""}, "item", "the amount is missing"),
        ({"item": "0"}, "item", "'0' is no amount"),
        ({"item": "-5"}, "item", "'-5' is no amount"),
        ({"item": "399.5"}, "item", "dl has no decimals"),
        ({"item": "9" * 14}, "item", "more than can be kept"),
        ({"shipping": "-3"}, "shipping", "'-3' is no amount"),
        ({"tax": "much"}, "tax", "'much' is no amount"),
        ({"coupon": "399"}, "coupon", "leaves 0"),
        ({"coupon": "500"}, "coupon", "leaves −101"),
        ({"on": "2031-05-05"}, "on", "5 May 2031 is still to come"),
        ({"on": "yesterday"}, "on", "'yesterday' is no day"),
        ({"on": ""}, "on", "the day is missing"),
        ({"seller": "friend"}, "seller", "'friend' is no kind of seller"),
        ({"currency": "mk"}, "decimals", "mk is new here"),
        ({"currency": "mk", "decimals": "9"}, "decimals", "'9' is no number of decimals"),
        ({"currency": "5k", "decimals": "2"}, "currency", "'5k' is no currency"),
        ({"currency": "cr", "decimals": "0"}, "decimals", "cr has 2 decimals"),
    ],
)  # fmt: skip
def test_each_mistake_stands_at_its_field_with_what_to_do(
    wrong: dict[str, str], field: str, told: str
) -> None:
    found = draft(**wrong)
    assert found.record is None
    (problem,) = found.problems
    assert problem.field == field
    assert told in problem.found + problem.todo
    assert problem.todo


def test_several_mistakes_are_told_together() -> None:
    assert [p.field for p in draft(item="x", coupon="y", on="z").problems] == ["on", "item", "coupon"]


def test_a_new_currency_is_taken_with_its_decimals() -> None:
    assert draft(currency="mk", decimals="3", item="1.250").record.item_minor == 1250


def test_without_any_currency_it_is_asked_for() -> None:
    bare = Beside(parts={"k6": PART}, currency=None, currencies=())
    (problem,) = drafted_offer(WHOLE, bare, today=DAY).problems
    assert problem.field == "currency"


@pytest.mark.parametrize(("item", "asked"), [("8001", True), ("8000", False), ("20", False), ("19", True)])
def test_an_absurd_amount_is_asked_about_once(item: str, asked: bool) -> None:
    found = draft(item=item)
    assert bool(found.asks) is asked
    assert draft(item=item, sure=True).asks == ""
    assert found.record == draft(item=item, sure=True).record


@hypothetically(
    amounts=st.tuples(st.integers(1, 10**9), st.integers(0, 10**9), st.integers(0, 10**9)),
    off=st.integers(0, 10**6),
    money=st.sampled_from((CROWN, DRELL, Currency(symbol="mk", decimals=3))),
)
def test_what_is_written_is_what_is_kept_to_the_last_unit(
    amounts: tuple[int, int, int], off: int, money: Currency
) -> None:
    """Never a float: every amount comes back as it was written, and the total is their exact sum."""
    item, shipping, tax = amounts
    coupon = min(off, sum(amounts) - 1)
    beside = Beside(parts={"k6": PART}, currency=money, currencies=(money,))
    written = dict(zip(("item", "shipping", "tax", "coupon"), (item, shipping, tax, coupon), strict=True))
    told = {name: plain_amount(minor, money) for name, minor in written.items()}
    offer = drafted_offer({**WHOLE, **told}, beside, today=DAY).record
    assert offer is not None
    kept = (offer.item_minor, offer.shipping_minor, offer.tax_minor, offer.coupon_minor)
    assert kept == (item, shipping, tax, coupon)
    assert all(type(each) is int for each in (*kept, offer.total_minor))
    assert offer.total_minor == item + shipping + tax - coupon


def kept(wb: Workbench, **more: Any) -> Any:
    return add_offer(wb, {**WHOLE, **more}, currency=DRELL, now=NOW, today=DAY)


def test_the_same_offer_again_is_the_one_on_record(stocked: Workbench) -> None:
    first, again = kept(stocked), kept(stocked)
    assert (first.again, again.again, again.offer) == (False, True, first.offer)


def test_what_a_part_usually_costs_is_its_own_median(stocked: Workbench) -> None:
    for ago, item in enumerate(("390", "410", "400")):
        kept(stocked, item=item, on=(DAY - timedelta(days=ago)).isoformat())
    assert beside_of(stocked, ["k6"], DRELL).usual == {"k6": 400}
    with pytest.raises(BadRecord, match="21 times"):
        kept(stocked, item="8400")
    assert kept(stocked, item="8400", sure=True).offer.item_minor == 8400


def test_an_offer_is_taken_back_and_put_back(stocked: Workbench) -> None:
    offer = kept(stocked).offer
    take_back_offer(stocked, offer.id, now=NOW)
    assert not offer_stands(stocked, offer)
    with pytest.raises(NotFound, match="taken back before"):
        take_back_offer(stocked, offer.id, now=NOW)
    back = put_back_offer(stocked, offer.id, now=NOW)
    assert offers.offers_of(stocked, ["k6"]) == (back,)
    assert put_back_offer(stocked, back.id, now=NOW) == back
    with pytest.raises(NotFound):
        take_back_offer(stocked, 99, now=NOW)


def test_a_study_that_is_away_keeps_its_offers(stocked: Workbench) -> None:
    offer = kept(stocked).offer
    put_study_away(stocked, "quay", note="", by="a test", now=NOW)
    for change in (lambda: kept(stocked, item="398"), lambda: take_back_offer(stocked, offer.id, now=NOW)):
        with pytest.raises(StudyIsAway):
            change()


def test_the_currency_is_that_of_the_studies_that_have_the_part(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="not said in which currency"):
        add_offer(stocked, WHOLE, now=NOW, today=DAY)
    said = add_offer(stocked, {**WHOLE, "currency": "dl", "decimals": "0"}, now=NOW, today=DAY)
    assert said.offer.currency == DRELL


@pytest.mark.parametrize(
    ("item", "asked"), [("9000", "dearest"), ("7000", ""), ("15", "cheapest"), ("21", "")]
)
def test_a_part_without_a_price_is_held_against_its_kind(stocked: Workbench, item: str, asked: str) -> None:
    kept(stocked, item="400")
    other = add_part(stocked, {"kind": "processor", "name": "Brellow K9"}, now=NOW).key
    found = drafted_offer(
        WHOLE | {"part": other, "item": item}, beside_of(stocked, [other], DRELL), today=DAY
    )
    assert found.record is not None
    assert bool(found.asks) is bool(asked)
    assert f"of the {asked} processor with a price here: is that so?" in found.asks or not asked
    case = add_part(stocked, {"kind": "case", "name": "Osk Crate"}, now=NOW).key
    alone = drafted_offer(
        WHOLE | {"part": case, "item": "90000"}, beside_of(stocked, [case], DRELL), today=DAY
    )
    assert alone.asks == "", "of a kind without any price nothing is known"
    assert asked_about(found.record, BESIDE) == "", "nor of a part that is not there"


def test_an_offer_of_a_part_that_no_build_has_is_kept_and_says_so(stocked: Workbench) -> None:
    assert kept(stocked).unowned == ""
    other = add_part(stocked, {"kind": "processor", "name": "Brellow K9"}, now=NOW).key
    assert "No build has Brellow K9: its price counts in none of theirs" in kept(stocked, part=other).unowned


def test_an_offer_that_no_rate_changes_into_the_studies_currency_is_kept_and_says_so(
    stocked: Workbench,
) -> None:
    said = kept(stocked, currency="cr", decimals="2").unrated
    assert said.startswith("Mixed currencies without a rate: one offer is left out, in cr")
    rates.add_rate(stocked, Rate(of=CROWN, into=DRELL, rate=Decimal("2.45"), on=DAY), at=NOW)
    assert kept(stocked, currency="cr", item="390").unrated == ""
    assert kept(stocked).unrated == "", "in the studies' own none is needed"
