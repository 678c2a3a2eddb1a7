"""Better parts under a budget, out of what is on record."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta
from itertools import product
from types import SimpleNamespace

import pytest
from tests.desk.money.small_market import DAY, DRELL, GOOD, MINOR, SHARED, STUDY, WREN, lay_market
from tests.desk.small_folder import NOW
from tests.fit.test_proof import CATALOGUE

from evenhand.desk.money.better import Better, better_parts, step_of
from evenhand.desk.money.goods import Goods, goods_of, role_weights
from evenhand.desk.money.grounds import days_of_prices
from evenhand.desk.money.reach import reaches
from evenhand.desk.money.searching import Bought, Task, budgets_about, search_further, unwatched
from evenhand.desk.money.shop import Shop, shop_of
from evenhand.desk.on_record import load_study
from evenhand.desk.parts.assuming import change_terms
from evenhand.desk.parts.items import items_of
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.fit.answers import Answer
from evenhand.fit.asking import answer_of, fits
from evenhand.fit.power import budget
from evenhand.money import choosing
from evenhand.records.audiences import Audience
from evenhand.records.offers import Offer
from evenhand.records.tests import Direction, Measures, Test
from evenhand.store import offers
from evenhand.store.workbench import Workbench

LATER = datetime(2031, 5, 30, 9, 30, tzinfo=UTC)


def the_goods(wb: Workbench) -> Goods:
    record = load_study(wb, STUDY)
    return goods_of(wb, record, judged_for(wb, record).audiences[0], DRELL)


def shop_of_wren(wb: Workbench, goods: Goods) -> Shop:
    return shop_of("wren", items_of(wb, WREN), goods)


def better(wb: Workbench, minor: int) -> Better:
    goods = the_goods(wb)
    return better_parts(shop_of_wren(wb, goods), goods, minor, margin=0.03)


def test_what_is_out_of_stock_or_long_not_looked_up_is_not_chosen(stocked: Workbench) -> None:
    lay_market(stocked)
    (best, *_) = better(stocked, 1100).choices
    assert "ostrey-70" in best.new
    gone = Offer(part="ostrey-70", item_minor=420, currency=DRELL, on=DAY + timedelta(days=1), in_stock=False)
    offers.add_offers(stocked, [gone], at=LATER)
    goods = the_goods(stocked)
    assert (goods.out, goods.old) == ({"ostrey-70": gone.on}, {})
    assert not any("ostrey-70" in each.parts for each in better(stocked, 1100).choices)
    fresh = [
        Offer(part=key, item_minor=m, currency=DRELL, on=DAY + timedelta(days=15)) for key, m in MINOR.items()
    ]
    offers.add_offers(stocked, [each for each in fresh if each.part != "ostrey-60"], at=LATER)
    goods = the_goods(stocked)
    assert (goods.out, goods.old) == ({}, {"ostrey-60": DAY})
    assert {"ostrey-60", "ostrey-70"} & goods.by_key.keys() == {"ostrey-70"}
    assert days_of_prices(goods) == ("Prices of parts are of 19 May 2031.",)


def a_test(key: str, group: str) -> Test:
    return Test(
        key=key, name=key, measures=Measures.FRAMES, metric="average_fps", unit="fps",
        direction=Direction.HIGHER, group=group,
    )  # fmt: skip


def best_by_trying(goods: Goods, most: int) -> float:
    """The best score of all machines within a budget that go together, Wren's other parts as they are."""
    by_kind = [
        [good for good in goods.by_key.values() if good.item.kind == kind]
        for kind in ("processor", "board", "graphics", "supply")
    ]
    found = -math.inf
    for choice in product(*by_kind):
        build = [*(good.item for good in choice), *(CATALOGUE[key] for key in SHARED)]
        power = budget(build)
        minor = sum(good.minor for good in choice) + sum(MINOR[key] for key in SHARED)
        if minor <= most and answer_of(fits(build)) is Answer.FITS and power and power.answer is Answer.FITS:
            found = max(found, sum(good.score for good in choice))
    return found


@pytest.mark.parametrize("most", [795, 900, 1000, 1200])
def test_it_is_the_best_that_trying_every_machine_finds(stocked: Workbench, most: int) -> None:
    lay_market(stocked)
    goods, found = the_goods(stocked), better(stocked, most)
    own = sum(goods.scores[key] for key in WREN)
    best = found.choices[0]
    assert best.minor <= most
    assert math.log(best.index) + own == pytest.approx(best_by_trying(goods, most))


def test_what_is_new_is_told_apart_from_what_the_build_has(stocked: Workbench) -> None:
    lay_market(stocked)
    best = better(stocked, 1200).choices[0]
    assert set(best.parts) == {*SHARED, *best.new, *(key for key in WREN if key in best.parts)}
    assert "ostrey-70" in best.new
    assert "garth-850" in best.new  # nobody promises that the smaller supply bears that card


def test_a_board_of_which_nothing_is_said_is_not_bought_for_what_was_measured_of_its_build(
    stocked: Workbench,
) -> None:
    lay_market(stocked)
    goods = the_goods(stocked)
    assert goods.measured["plover"] > 0.1  # more than what is said of its parts comes to
    assert goods.scores["osk-lintel-q5"] == 0.0
    assert better(stocked, 1100).choices[0].index == pytest.approx(1.4 * 1.02)


def test_of_machines_as_good_as_each_other_none_costs_more_for_nothing(stocked: Workbench) -> None:
    lay_market(stocked)
    found = better(stocked, 960).choices
    assert found
    for one, other in product(found, found):
        assert one is other or one.minor < other.minor or one.index > other.index


def test_more_money_and_every_rule_are_told_by_what_they_would_bring(stocked: Workbench) -> None:
    lay_market(stocked)
    goods = the_goods(stocked)
    shop = shop_of_wren(stocked, goods)
    found = better_parts(shop, goods, 980, margin=0.03)
    assert found.step_minor == 40
    assert found.more[""].share > 0.2  # with 1,020 the large card and its supply are within reach
    assert found.best is not None
    freed = shop.fitted.without("power").best(shop.terms(980))
    assert freed is not None
    further = search_further(Task(shop=shop, goods=goods, budget_minor=980, now=found.best), unwatched)
    power = further.rules["power"]
    assert power.share == pytest.approx(math.exp(freed.score) / found.choices[0].index - 1)
    assert power.minor == freed.minor + shop.kept_minor <= 980


def test_what_is_assumed_of_power_counts_in_what_is_chosen(stocked: Workbench) -> None:
    lay_market(stocked)
    assert "ostrey-70" in better(stocked, 1200).choices[0].parts
    change_terms(stocked, {"rest.board": "700"}, now=NOW)
    assert not better(stocked, 1200).choices


@pytest.mark.parametrize("margin", [0.0, 0.01, 0.03, 0.1, 0.5])
def test_ties_are_those_that_the_studys_margin_lets_pass(stocked: Workbench, margin: float) -> None:
    lay_market(stocked)
    goods = the_goods(stocked)
    found = better_parts(shop_of_wren(stocked, goods), goods, 1200, margin=margin, most=20).choices
    best = found[0].index
    every = better_parts(shop_of_wren(stocked, goods), goods, 1200, margin=0.9, most=20).choices
    near = [each.minor for each in every if each.index >= best * (1 - margin) - 1e-9]
    assert [each.minor for each in found] == near
    assert all(each.index >= best * (1 - margin) - 1e-6 for each in found)


def test_an_impossible_budget_says_what_the_cheapest_costs(stocked: Workbench) -> None:
    lay_market(stocked)
    found = better(stocked, 500)
    assert found.choices == ()
    assert found.blame.least_minor == sum(MINOR[key] for key in WREN)


def test_parts_without_an_offer_or_a_rating_are_left_out_and_named(stocked: Workbench) -> None:
    lay_market(
        stocked, minor={key: each for key, each in MINOR.items() if key != "garth-850"},
        performance={key: each for key, each in GOOD.items() if key != "ostrey-60"},
    )  # fmt: skip
    goods = the_goods(stocked)
    assert "garth-850" in goods.unpriced
    assert goods.unsaid == ("k6", "ostrey-60")  # k6 is a processor that no build has
    assert not {"garth-850", "ostrey-60"} & goods.by_key.keys()


def test_nothing_is_held_against_a_build_of_which_less_is_said(stocked: Workbench) -> None:
    lay_market(stocked, performance={key: each for key, each in GOOD.items() if key != "ostrey-50"})
    found = better(stocked, 1000)
    assert found.unrated == ("ostrey-50",)
    assert found.choices == ()


def test_an_audience_asks_of_the_roles_that_it_weighs() -> None:
    grouped = (("causeway", "games"), ("render", "work"), ("load", ""))
    tests = [a_test(key, group) for key, group in grouped]
    whole = Audience(key="a", name="A", groups={"games": 3.0}, tests={"render": 1.0, "load": 2.0})
    assert role_weights(whole, tests) == {"games": 3.0, "work": 1.0, "everything": 2.0}


def test_steps_of_money_are_round() -> None:
    assert [step_of(minor) for minor in (998, 74_200, 10)] == [40, 3000, 1]


def test_fifty_watts_more_buy_what_the_supply_bars_now(stocked: Workbench) -> None:
    """Within 980 the large card has room, but not the supply that bears it."""
    lay_market(stocked)
    goods = the_goods(stocked)
    shop = shop_of_wren(stocked, goods)
    found = better_parts(shop, goods, 980, margin=0.03)
    freed = shop.fitted.with_more_power(50).best(shop.terms(980))
    assert freed is not None
    assert found.more["watts"].share == pytest.approx(
        max(0.0, math.exp(freed.score) / found.choices[0].index - 1)
    )


def test_a_search_that_ends_before_it_found_anything_says_so(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay_market(stocked)
    monkeypatch.setattr(choosing, "_solved", lambda *_: SimpleNamespace(x=None, status=choosing.OUT_OF_TIME))
    found = better(stocked, 1000)
    assert found.out_of_time
    assert found.choices == ()


def test_a_part_that_stays_and_has_no_price_is_named(stocked: Workbench) -> None:
    lay_market(stocked, minor={key: each for key, each in MINOR.items() if key != "hollin-mid"})
    goods = the_goods(stocked)
    assert shop_of_wren(stocked, goods).unpriced_kept == ("hollin-mid",)


def test_a_stop_keeps_what_was_found_and_progress_says_how_far_it_is(stocked: Workbench) -> None:
    lay_market(stocked)
    goods = the_goods(stocked)
    shop = shop_of_wren(stocked, goods)
    now = better_parts(shop, goods, 1000, margin=0.03).best
    assert now is not None
    task, told, kept = Task(shop=shop, goods=goods, budget_minor=1000, now=now), [], []
    whole = search_further(task, lambda *step: told.append(step), kept.append)
    assert [done for done, _, _ in told] == list(range(whole.steps))
    assert {total for _, total, _ in told} == {whole.steps}
    assert "what one more memory slot on the board would buy" in {doing for _, _, doing in told}
    assert "what 1,000\u00a0dl buy" in {doing for _, _, doing in told}
    assert (kept[0].done, kept[-1], whole.whole) == (0, whole, True)
    assert len(whole.bought) == len(budgets_about(1000))

    class Enough(Exception):
        """Stops."""

    def stop(done: int, total: int, _: str) -> None:
        if done == total - 5:
            raise Enough

    kept.clear()
    with pytest.raises(Enough):
        search_further(task, stop, kept.append)
    assert not kept[-1].whole
    assert kept[-1].rooms == whole.rooms
    assert kept[-1].bought == whole.bought[:-5]


def test_steps_stand_at_the_price_of_the_machine_and_none_is_dearer_for_nothing() -> None:
    bought = [
        Bought(budget_minor=700),
        Bought(budget_minor=740, minor=731, index=90.0),
        Bought(budget_minor=780, minor=731, index=90.0),
        Bought(budget_minor=820, minor=812, index=95.0),
        Bought(budget_minor=860, minor=803, index=95.0),
        Bought(budget_minor=900, minor=899, index=104.0),
    ]
    assert [(each.minor, each.index) for each in reaches(bought)] == [(731, 90.0), (803, 95.0), (899, 104.0)]
