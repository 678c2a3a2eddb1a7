"""Upgrade paths of the builds of a study, out of what is on record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import timedelta

import pytest
from tests.desk.money.small_market import BUILDS, DAY, DRELL, MINOR, PAID, STUDY, lay_market
from tests.desk.small_folder import NOW

from evenhand.desk.money.courses import Courses, courses_of, furthest, orders
from evenhand.desk.money.goods import goods_of
from evenhand.desk.money.searching import Watch, unwatched
from evenhand.desk.money.shop import shop_of
from evenhand.desk.on_record import load_study
from evenhand.desk.parts.items import items_of
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.fit.answers import Answer
from evenhand.fit.asking import answer_of, fits
from evenhand.money.courses import steps_of
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.offers import Offer
from evenhand.store import offers
from evenhand.store.workbench import Workbench

BUILT = {"wren": "Wren", "plover": "Plover"}
TERMS = MoneyTerms(horizon_months=24, cash_minor=0, saved_minor=25, resale=(0.5, 0.75), fall=(0.2, 0.3))


def the_courses(
    wb: Workbench, terms: MoneyTerms = TERMS, paid: Mapping[str, int] = PAID, *, watch: Watch = unwatched,
    keep: Callable[[Courses], None] = lambda _: None,
) -> Courses:  # fmt: skip
    record = load_study(wb, STUDY)
    goods = goods_of(wb, record, judged_for(wb, record).audiences[0], DRELL)
    shops = [shop_of(key, items_of(wb, parts), goods) for key, parts in BUILDS.items()]
    return courses_of(shops, goods, paid, terms, names=BUILT, watch=watch, keep=keep)


def test_every_machine_on_every_path_goes_together(stocked: Workbench) -> None:
    lay_market(stocked)
    found = the_courses(stocked)
    machines = {
        change.parts for own in found.of_builds.values() for each in own for change in each.path.changes
    }
    assert machines
    for parts in machines:
        assert answer_of(fits(items_of(stocked, parts))) is Answer.FITS


def test_a_large_card_comes_with_the_supply_that_bears_it(stocked: Workbench) -> None:
    lay_market(stocked)
    found = furthest(the_courses(stocked).of_builds["plover"])
    assert found is not None
    bought = {key for step in steps_of(BUILDS["plover"], found.path) for key in step.bought}
    assert {"ostrey-70", "garth-850"} <= bought


def test_a_build_whose_own_part_is_out_of_stock_still_goes_on_and_nobody_buys_it(stocked: Workbench) -> None:
    lay_market(stocked)
    on = DAY + timedelta(days=1)
    gone = [
        Offer(part=key, item_minor=MINOR[key], currency=DRELL, on=on, in_stock=False)
        for key in ("ostrey-50", "ostrey-60")
    ]
    offers.add_offers(stocked, gone, at=NOW + timedelta(days=2))
    found = the_courses(stocked, replace(TERMS, saved_minor=100))
    assert not found.left_out
    steps = [
        step for own in found.of_builds.values() for c in own for step in steps_of(BUILDS[c.start], c.path)
    ]
    assert not {"ostrey-50", "ostrey-60"} & {key for step in steps for key in step.bought}
    assert {"ostrey-50", "ostrey-60"} <= {key for step in steps for key in step.sold}


def test_what_is_saved_decides_when(stocked: Workbench) -> None:
    lay_market(stocked)
    slow, quick = (
        furthest(the_courses(stocked, replace(TERMS, saved_minor=saved)).of_builds["plover"])
        for saved in (22, 60)
    )
    assert slow is not None
    assert quick is not None
    assert quick.path.changes[-1].month < slow.path.changes[-1].month


def test_holding_costs_the_price_less_what_all_parts_fetch_in_the_end(stocked: Workbench) -> None:
    lay_market(stocked)
    held = the_courses(stocked).of_builds["wren"][0]
    assert held.path.changes == ()
    # Two years at e^(-0.25 a year) of 62.5 %: each part to the whole drell.
    fetched = sum(int(0.625 * MINOR[key] * 0.6065307 + 0.5) for key in BUILDS["wren"])
    assert held.net_minor == PAID["wren"] - fetched


def test_a_market_on_which_circles_earn_money_gives_no_advice(stocked: Workbench) -> None:
    lay_market(stocked)
    found = the_courses(stocked, replace(TERMS, resale=(1.2, 1.2)))
    assert found.courses == ()
    assert found.circles


def test_a_build_with_a_part_that_nobody_offers_is_left_out_and_says_which(stocked: Workbench) -> None:
    lay_market(stocked, minor={key: each for key, each in MINOR.items() if key != "ostrey-50"})
    found = the_courses(stocked)
    assert found.left_out == {"wren": ("ostrey-50",)}
    assert set(found.of_builds) == {"plover"}


def test_an_order_is_told_where_one_course_beats_the_other(stocked: Workbench) -> None:
    paid = {"wren": 995, "plover": 500}
    lay_market(stocked, paid=paid)
    ((one, other, hold),) = orders(the_courses(stocked, paid=paid))
    assert (one.start, other.start) == ("plover", "wren")
    assert hold.in_common
    assert hold.each
    assert hold.turns_at is not None


def test_no_order_is_told_where_neither_beats_the_other(stocked: Workbench) -> None:
    lay_market(stocked)
    assert list(orders(the_courses(stocked, replace(TERMS, saved_minor=0)))) == []


def test_a_build_begins_at_the_index_that_was_measured_and_moves_by_what_is_said(stocked: Workbench) -> None:
    lay_market(stocked)
    wren, plover = (the_courses(stocked).of_builds[build] for build in ("wren", "plover"))
    measured = plover[0].indexes[0]
    assert wren[0].indexes == (pytest.approx(1.0),)
    assert 1.1 < measured < 1.15
    grown = furthest(plover)
    assert grown is not None
    assert grown.indexes[-1] == pytest.approx(measured * 1.4 / 1.1)


def test_sold_whole_it_leaves_what_was_measured_of_it_behind(stocked: Workbench) -> None:
    """Little is said of any part, so that Plover's measured lead is best had by buying all of it."""
    good = {"ostrey-50": 1.0, "ostrey-60": 1.0, "ostrey-70": 1.05, "brellow-520": 1.0, "brellow-540": 1.0}
    lay_market(stocked, performance={key: {"games": each} for key, each in good.items()})
    terms = replace(TERMS, saved_minor=300, resale=(0.95, 0.95), fall=(0.0, 0.0))
    found = the_courses(stocked, terms).of_builds
    measured = found["plover"][0].indexes[0]
    grown = furthest(found["wren"])
    assert grown is not None
    assert set(BUILDS["plover"]) == set(grown.path.changes[0].parts)
    assert grown.indexes == (
        pytest.approx(1.0), pytest.approx(measured), pytest.approx(measured * 1.05),
    )  # fmt: skip


def test_each_line_of_machines_is_told_once_as_soon_as_it_can_be_paid(stocked: Workbench) -> None:
    lay_market(stocked)
    found = the_courses(stocked).courses
    lines = [(each.start, *(change.parts for change in each.path.changes)) for each in found]
    assert len(set(lines)) == len(lines)
    assert [each.net_minor for each in found] == sorted(each.net_minor for each in found)


def test_a_stop_keeps_what_was_found_of_every_build(stocked: Workbench) -> None:
    """Paths with one change come first, of all builds: they are there when the rest is stopped."""
    lay_market(stocked)
    told, kept = [], list[Courses]()
    whole = the_courses(stocked, watch=lambda *step: told.append(step), keep=kept.append)
    assert whole == kept[-1]
    assert whole.unfinished == ()
    shares = [done / total for done, total, _ in told]
    assert shares == sorted(shares)
    assert max(shares) < 1.0
    said = dict.fromkeys(doing for _, _, doing in told)
    assert list(said) == [
        f"paths of {name} with {many}"
        for many in ("one change", "two changes")
        for name in ("Wren", "Plover")
    ]
    assert len(told) > 10

    class Enough(Exception):
        """Stops."""

    def stop(done: int, total: int, doing: str) -> None:
        if doing == "paths of Plover with two changes" and done > 0.8 * total:
            raise Enough

    kept.clear()
    with pytest.raises(Enough):
        the_courses(stocked, watch=stop, keep=kept.append)
    assert kept[-1].unfinished == ("plover",)
    assert kept[-1].of_builds["wren"] == whole.of_builds["wren"]
    few = kept[-1].of_builds["plover"]
    assert few
    assert all(len(each.path.changes) <= 1 for each in few)
