"""The example's offers: the least of a day is planted, and sums turn on the days that are stated."""

from __future__ import annotations

from datetime import date
from math import log

import pytest

from evenhand.demo.asked_prices import DAYS, FIRST, LAST, ON_SHELF, OUT, asked_prices, day_of, planted_minor
from evenhand.demo.truth import DUNLIN, PAID, PLOVER, PRICED_ON, WREN
from evenhand.demo.workshop import BUILDS, DRELL, PARTS
from evenhand.money.break_even import Value
from evenhand.money.looked import Looked, price_on
from evenhand.money.price_days import by_day
from evenhand.money.replay import replayed, shares, turns
from evenhand.money.sums import counting_sellers, sums

OFFERS = asked_prices(DRELL)


def looked(part: str) -> Looked:
    own = [offer for offer in OFFERS if offer.part == part]
    days = by_day(own, currency=DRELL, sellers=counting_sellers(own))
    return Looked(days=days, out=frozenset(offer.on for offer in own if not offer.in_stock))


def days_of(build: str) -> dict[date, int]:
    parts = next(each.parts for each in BUILDS if each.key == build)
    return {day: each.minor for day, each in sums([looked(part) for part in parts]).items()}


def test_every_part_of_the_example_has_offers_up_to_the_snapshot_and_none_after() -> None:
    assert {offer.part for offer in OFFERS} == {part.key for part in PARTS}
    assert {part.key for part in PARTS} == {*LAST, *ON_SHELF}
    assert (min(o.on for o in OFFERS), max(o.on for o in OFFERS)) == (FIRST, PRICED_ON)
    assert asked_prices(DRELL) == OFFERS


@pytest.mark.parametrize("part", [*LAST, *ON_SHELF])
def test_the_least_offer_of_new_ones_is_the_planted_price(part: str) -> None:
    found = looked(part).days
    assert found
    for day, minor in found.items():
        assert minor == planted_minor(part, (day - FIRST).days + 1)


@pytest.mark.parametrize("build", [PLOVER, DUNLIN, WREN])
def test_on_the_day_of_the_snapshot_the_parts_cost_what_the_counter_price_is(build: str) -> None:
    assert days_of(build)[PRICED_ON] == PAID[build]


def test_plover_is_at_998_then_1022_from_day_21_then_1044_from_day_38_then_998_again() -> None:
    days = days_of(PLOVER)
    every = [price_on(Looked(days=days), day_of(number)) for number in range(1, DAYS + 1)]
    assert every == [998] * 20 + [1022] * 17 + [1044] * 32 + [998] * 21
    assert set(days_of(DUNLIN).values()) == {1012}


def test_replayed_with_what_was_measured_the_better_buy_turns_on_just_these_days() -> None:
    """Plover is worth 1,026 (1,014 to 1,039) beside Dunlin at 1,012."""
    days = replayed(
        Looked(days=days_of(PLOVER)), Looked(days=days_of(DUNLIN)),
        effect=log(1026 / 1012), half=log(1039 / 1026), until=PRICED_ON,
    )  # fmt: skip
    found = [(each.on, each.before, each.after) for each in turns(days)]
    assert found == [
        (day_of(21), Value.A, Value.LEVEL), (day_of(38), Value.LEVEL, Value.B), (day_of(70), Value.B, Value.A)
    ]  # fmt: skip
    share = shares(days)
    assert [round(90 * share[value]) for value in (Value.A, Value.LEVEL, Value.B, Value.UNKNOWN)] == [
        41,
        17,
        32,
        0,
    ]


def test_what_is_out_of_stock_leaves_a_gap() -> None:
    ((part, out),) = OUT.items()
    seen = [offer for offer in OFFERS if offer.part == part and offer.on in {day_of(n) for n in out}]
    assert any(not offer.in_stock for offer in seen)
    assert not {day_of(n) for n in out} & set(days_of(WREN))
