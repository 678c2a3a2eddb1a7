"""What the example plants of money is found: what fixed costs turn, and the days on which value turned."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from evenhand.demo.truth import PRICED_ON
from evenhand.desk.money.basis import MoneyGround, Tried, ground_for
from evenhand.desk.money.days import Replayed, all_led, replay
from evenhand.desk.money.owning import difference, owning, stand_by_owning
from evenhand.desk.money.valuing import Valued, valued
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk
from evenhand.desk.parts.price_days import build_looks
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.money.break_even import Value
from evenhand.money.value import Stand

PAIR = ("plover-mild", "dunlin-mild")


@pytest.fixture
def wb(decided_file: Path, tmp_path: Path) -> Iterator[Desk]:
    shutil.copy(decided_file, tmp_path / "bench.evenhand")
    with open_desk(tmp_path / "bench.evenhand") as opened:
        yield opened


def ground(wb: Desk, audience: str = "mostly-play", tried: Tried | None = None) -> MoneyGround:
    record = load_study(wb, "saltmarsh")
    judgement = judged_for(wb, record)
    here = next(each for each in judgement.audiences if each.audience.key == audience)
    found = ground_for(record, judgement, here, tried or Tried())
    assert found is not None
    return found


def value(found: MoneyGround) -> Valued:
    told = valued(found)
    assert told is not None
    return told


def test_by_itself_wren_gives_most_and_with_a_screen_and_a_desk_plover(wb: Desk) -> None:
    told = value(ground(wb))
    alone = {row.setup: round(row.alone[0], 3) for row in told.rows}
    besides = {row.setup: round(row.with_more[0], 3) for row in told.rows}
    assert alone == {"wren-mild": 1.348, "plover-mild": 1.308, "dunlin-mild": 1.272}
    assert besides == {"wren-mild": 1.008, "plover-mild": 1.046, "dunlin-mild": 1.020}
    assert told.more_minor == 250
    assert [each.setup for each in told.leads] == ["wren-mild", "plover-mild"]
    assert 90 < told.leads[1].fixed_from < 100
    assert told.first_at(told.more_minor) == "plover-mild"


def test_every_interval_of_a_thousand_holds_its_middle_and_the_slowest_has_none(wb: Desk) -> None:
    for row in value(ground(wb)).rows:
        for middle, low, high in (row.index, row.alone, row.with_more):
            assert (low is None) is (row.setup == "wren-mild")
            assert low is None or high is None or low < middle < high


def test_the_pairs_stand_as_their_verdicts_do(wb: Desk) -> None:
    for audience in ("mostly-play", "half-and-half", "mostly-editing", "new-seats"):
        found = ground(wb, audience)
        for each in found.here.verdicts:
            stands = {Value.A: Stand.A, Value.B: Stand.B, Value.UNKNOWN: Stand.UNKNOWN}.get(each.value)
            level = Stand.OPEN if each.value_open else Stand.LEVEL
            assert found.stand(each.a, each.b) is (stands or level)


def days(wb: Desk) -> Replayed:
    found = ground(wb)
    told = replay(found, build_looks(wb, found.record), PAIR, today=PRICED_ON)
    assert told is not None
    return told


def test_of_all_at_once_wren_leads_alone_and_with_a_screen_to_buy_plover_and_dunlin_share_the_days(
    wb: Desk,
) -> None:
    found = ground(wb)
    told = all_led(found, build_looks(wb, found.record), today=PRICED_ON)
    assert told is not None
    assert (told.known, told.out) == (83, 7)
    assert {day.out for day in told.days if day.out} == {("wren-mild",)}
    assert told.led == {("plover-mild",): 0, ("dunlin-mild",): 0, ("wren-mild",): 83}
    seats = ground(wb, "new-seats")  # who must buy a screen and a desk besides
    tied = all_led(seats, build_looks(wb, found.record), today=PRICED_ON)
    assert tied is not None
    both = ("plover-mild", "dunlin-mild")
    assert tied.led == {("plover-mild",): 41, ("dunlin-mild",): 25, ("wren-mild",): 0, both: 17}


def test_the_better_buy_turned_on_the_days_on_which_the_price_was_planted_to(wb: Desk) -> None:
    told = days(wb)
    prices = {turn.on: next(day.a_minor for day in told.days if day.on == turn.on) for turn in told.turns}
    first = min(prices)
    assert [prices[on] for on in sorted(prices)] == [1022, 1044, 998]
    assert [turn.after for turn in told.turns] == [Value.LEVEL, Value.B, Value.A]
    assert [(on - told.days[0].on).days + 1 for on in sorted(prices)] == [21, 38, 70]
    assert all(day.value is Value.A for day in told.days if day.on < first and day.value is not Value.UNKNOWN)


def test_on_no_day_whose_price_lies_in_the_band_is_anybody_the_better_buy(wb: Desk) -> None:
    even = next(each.even for each in value(ground(wb)).pairs if (each.a, each.b) == PAIR)
    assert even.low is not None
    assert even.high is not None
    for day in days(wb).days:
        if day.b_minor == 1012 and day.a_minor is not None and even.low <= day.a_minor <= even.high:
            assert day.value is Value.LEVEL


def test_what_two_cost_to_own_is_apart_by_less_than_their_ranges_are_wide(wb: Desk) -> None:
    found = ground(wb)
    own = owning(found)
    assert own.counted
    assert all(each.energy is not None for each in own.by_setup.values())
    apart = difference(found, *PAIR)
    whole = own.by_setup["plover-mild"].whole
    assert apart.high - apart.low < (whole.high - whole.low) / 5
    assert stand_by_owning(found, *PAIR) in set(Stand)


def test_a_price_far_off_makes_the_other_better_value_by_what_they_cost_to_own(wb: Desk) -> None:
    dear = ground(wb, tried=Tried(prices={"plover-mild": 1500}))
    assert stand_by_owning(dear, *PAIR) is Stand.B
    cheap = ground(wb, tried=Tried(prices={"plover-mild": 600}))
    assert stand_by_owning(cheap, *PAIR) is Stand.A
