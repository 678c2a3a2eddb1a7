"""Facts, offers and rates come back as they were; the last fact stands, what is taken back counts no more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from tests.store.small_study import BUILD, NOW

from evenhand.errors import BadRecord, NotFound
from evenhand.records.audiences import Audience
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.offers import Offer, Seller
from evenhand.records.part_facts import PartFact
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.records.studies import Study
from evenhand.store import offers, part_facts, rates, shelves
from evenhand.store.workbench import Workbench

DAY = date(2031, 5, 4)
CARD = BUILD.parts[0]
CROWN, DRELL = Currency(symbol="cr"), Currency(symbol="dl", decimals=0)
LENGTH = PartFact(part=CARD, fact="length_mm", value=312, source="the maker's page", on=DAY)
OFFER = Offer(
    part=CARD, item_minor=39900, shipping_minor=490, tax_minor=0, coupon_minor=2000, currency=CROWN,
    seller=Seller.MARKET, in_stock=False, on=DAY, note="end of the month",
)  # fmt: skip
RATE = Rate(of=CROWN, into=DRELL, rate=Decimal("2.450"), on=DAY, note="the bank's")


def test_the_last_fact_stands_and_earlier_ones_stay(wb: Workbench) -> None:
    measured = replace(LENGTH, value=308, source="a ruler")
    lost = replace(LENGTH, value=None, source="the maker's page, gone")
    for each in (LENGTH, measured, lost):
        part_facts.add_facts(wb, [each], at=NOW)
    (standing,) = part_facts.facts_of(wb, [CARD])
    assert replace(standing, id=0) == lost
    ever = part_facts.facts_of(wb, [CARD], ever=True)
    assert [replace(each, id=0) for each in ever] == [LENGTH, measured, lost]


def test_a_fact_that_says_what_stands_is_passed_over(wb: Workbench) -> None:
    assert len(part_facts.add_facts(wb, [LENGTH, LENGTH], at=NOW)) == 1
    assert part_facts.add_facts(wb, [LENGTH], at=NOW) == ()


@pytest.mark.parametrize("value", ["ATX", ["DDR5", "DDR4"], True, 2.5, {"Osk 9": "1.20"}, [{"name": "M1"}]])
def test_every_sort_of_value_comes_back(wb: Workbench, value: object) -> None:
    part_facts.add_facts(wb, [replace(LENGTH, value=value)], at=NOW)
    assert part_facts.facts_of(wb, [CARD])[0].value == value


@pytest.mark.parametrize("wrong", [replace(LENGTH, source=" "), replace(LENGTH, part="nothing")])
def test_of_facts_that_cannot_be_kept_none_is(wb: Workbench, wrong: PartFact) -> None:
    with pytest.raises(BadRecord):
        part_facts.add_facts(wb, [LENGTH, wrong], at=NOW)
    assert part_facts.facts_of(wb, [CARD]) == ()


def test_offers_come_back_by_day_and_the_very_same_is_one(wb: Workbench) -> None:
    earlier = replace(OFFER, on=date(2031, 5, 1))
    added = offers.add_offers(wb, [OFFER, earlier, OFFER], at=NOW)
    assert added[0] == added[2]
    assert [replace(each, id=0) for each in offers.offers_of(wb, [CARD])] == [earlier, OFFER]


def test_an_offer_taken_back_counts_no_more_and_may_be_given_again(wb: Workbench) -> None:
    (first,) = offers.add_offers(wb, [OFFER], at=NOW)
    assert offers.take_back_offer(wb, first.id, at=NOW) == first
    assert offers.offers_of(wb, [CARD]) == ()
    assert offers.offers_of(wb, [CARD], ever=True) == (first,)
    with pytest.raises(NotFound):
        offers.take_back_offer(wb, first.id, at=NOW)
    assert offers.add_offers(wb, [OFFER], at=NOW)[0].id != first.id


@pytest.mark.parametrize(
    "wrong",
    [
        replace(OFFER, item_minor=1000),
        replace(OFFER, tax_minor=-1),
        replace(OFFER, item_minor=-5, coupon_minor=0),
        replace(OFFER, part="nothing"),
    ],
)
def test_of_offers_that_are_none_nothing_is_kept(wb: Workbench, wrong: Offer) -> None:
    with pytest.raises(BadRecord):
        offers.add_offers(wb, [OFFER, wrong], at=NOW)
    assert offers.offers_of(wb, [CARD], ever=True) == ()


def test_rates_come_back_digit_by_digit_and_may_be_taken_back(wb: Workbench) -> None:
    first = rates.add_rate(wb, RATE, at=NOW)
    assert rates.add_rate(wb, RATE, at=NOW) == first
    assert str(rates.rates(wb)[0].rate) == "2.450"
    assert rates.take_back_rate(wb, first.id, at=NOW) == first
    assert rates.rates(wb) == ()
    assert rates.rates(wb, ever=True) == (first,)


@pytest.mark.parametrize(
    "wrong",
    [
        replace(RATE, rate=Decimal(0)),
        replace(RATE, rate=Decimal("nan")),
        replace(RATE, rate=Decimal("-1")),
        replace(RATE, into=CROWN),
    ],
)
def test_what_is_no_rate_is_refused(wb: Workbench, wrong: Rate) -> None:
    with pytest.raises(BadRecord):
        rates.add_rate(wb, wrong, at=NOW)


def test_what_a_study_assumes_of_money_comes_back(wb: Workbench) -> None:
    study = shelves.every(wb, Study)[0]
    told = replace(
        study,
        money=MoneyTerms(years=4.0, resale=(0.5, 0.7), budget_minor=1200),
        audiences=(
            Audience(key="club", name="Club", hours_a_year=(800.0, 1200.0), tariff_minor=("31.5", "34")),
            Audience(key="home", name="At home"),
        ),
    )
    shelves.save(wb, told, now=NOW)
    assert shelves.one(wb, Study, study.key) == told
