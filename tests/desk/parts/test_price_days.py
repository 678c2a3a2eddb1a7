"""What builds cost day by day, off offers, rates and their own prices; which price counts."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from tests.desk.small_folder import LATER, NOW

from evenhand.desk.on_record import load_study
from evenhand.desk.parts.price_days import build_looks, part_days, study_prices
from evenhand.desk.study.briefing import change_study
from evenhand.desk.study.pricing import paid_now
from evenhand.desk.study.quoting import counts_not, later_price, prices_told
from evenhand.desk.study.worth_answers import prices_answer
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.money.looked import Looked
from evenhand.records.builds import Part
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency, Price
from evenhand.records.rates import Rate
from evenhand.store import offers, prices, rates, shelves
from evenhand.store.workbench import Workbench

DAY = date(2031, 5, 4)
CROWN, DRELL = Currency(symbol="cr"), Currency(symbol="dl", decimals=0)


def ago(days: int) -> date:
    return DAY - timedelta(days=days)


def offer(part: str, minor: int, *, days: int = 0, currency: Currency = DRELL, **more: object) -> Offer:
    return replace(Offer(part=part, item_minor=minor, currency=currency, on=ago(days)), **more)  # type: ignore[arg-type]


@pytest.fixture
def bench(stocked: Workbench) -> Workbench:
    """The small study in whole drell; its first build has a processor and a board."""
    change_study(stocked, "quay", {"currency": {"symbol": "dl", "decimals": 0}}, now=NOW)
    shelves.save(stocked, Part(key="m1", kind="board", name="Nimtal M1"), now=NOW)
    build = load_study(stocked, "quay").builds["wren"]
    shelves.save(stocked, replace(build, parts=("k6", "m1")), now=NOW)
    return stocked


def add(wb: Workbench, *every: Offer) -> None:
    offers.add_offers(wb, every, at=NOW)


def own(wb: Workbench, minor: int, *, days: int = 0, currency: Currency = DRELL) -> Price:
    return prices.add_price(wb, Price(build="wren", minor=minor, currency=currency, on=ago(days)), at=NOW)


def test_a_day_has_the_builds_own_price_before_the_sum_of_its_parts(bench: Workbench) -> None:
    add(bench, offer("k6", 300, days=5), offer("m1", 90, days=3), offer("m1", 95, days=1))
    own(bench, 400, days=3)
    own(bench, 410, days=8)
    days = {setup: each.days for setup, each in build_looks(bench, load_study(bench, "quay")).items()}
    assert days == {"wren": {ago(8): 410, ago(3): 400, ago(1): 395}, "plover": {}}


def test_the_most_recent_day_counts_and_of_one_day_the_own_price(bench: Workbench) -> None:
    add(bench, offer("k6", 300, days=5), offer("m1", 90, days=3))
    earlier = own(bench, 400, days=4)
    summed = paid_now(bench, load_study(bench, "quay")).by_setup["wren"]
    assert (summed.minor, summed.on, summed.id) == (390, ago(3), 0)
    assert summed.note == "the sum of its parts’ offers, the oldest of 29 April 2031"
    same_day = own(bench, 405, days=3)
    assert paid_now(bench, load_study(bench, "quay")).by_setup["wren"] == same_day
    assert earlier.id != same_day.id


def test_a_sum_counts_in_verdicts_and_in_answers_and_has_no_number(bench: Workbench) -> None:
    add(bench, offer("k6", 300), offer("m1", 90))
    record = load_study(bench, "quay")
    assert judged_for(bench, record).paid.minor == {"wren": 390}
    told = prices_told(bench, "quay")
    answer = prices_answer("quay", told)
    assert told.counts == {}
    assert answer["unpriced"] == ["plover"]
    assert answer["sums"] == [
        {"id": None, "build": "wren", "price": "390", "minor": 390, "on": "2031-05-04",
         "currency": {"symbol": "dl", "decimals": 0}, "note": "the sum of its parts’ offers"}
    ]  # fmt: skip
    assert "390" in later_price(bench, "quay", "wren", "2031-05-01")


def test_offers_in_another_currency_count_by_the_rate_of_their_day(bench: Workbench) -> None:
    add(
        bench,
        offer("k6", 10050, days=2, currency=CROWN, shipping_minor=50),
        offer("k6", 9000, days=9, currency=CROWN),
    )
    assert part_days(bench, ["k6"], DRELL)["k6"].days == {}
    assert len(part_days(bench, ["k6"], DRELL)["k6"].rateless) == 2
    rates.add_rate(bench, Rate(of=CROWN, into=DRELL, rate=Decimal("2.455"), on=ago(4)), at=NOW)
    found = part_days(bench, ["k6"], DRELL)["k6"]
    # 101.00 cr at 2.455 are 247.955 dl: the total is rounded once, not the item and the shipping each.
    assert found.days == {ago(2): 248}
    assert [each.on for each in found.rateless] == [ago(9)]
    assert [(o.on, r.on) for o, r in found.by_rate] == [(ago(2), ago(4))]


def test_a_sum_says_by_which_rate_a_price_of_it_was_changed(bench: Workbench) -> None:
    add(bench, offer("k6", 10050, currency=CROWN), offer("m1", 90), offer("m1", 4000, currency=CROWN))
    rates.add_rate(bench, Rate(of=CROWN, into=DRELL, rate=Decimal("2.4"), on=ago(4)), at=NOW)
    price = paid_now(bench, load_study(bench, "quay")).by_setup["wren"]
    assert (price.minor, price.note) == (
        241 + 90, "the sum of its parts’ offers, where 1\xa0cr is 2.4\xa0dl, of 30 April 2031"
    )  # fmt: skip
    add(bench, offer("k6", 241))  # as cheap without any rate
    assert paid_now(bench, load_study(bench, "quay")).by_setup["wren"].note == "the sum of its parts’ offers"


def test_an_own_price_in_another_currency_counts_by_a_rate_and_says_so(bench: Workbench) -> None:
    price = own(bench, 40000, currency=CROWN)
    assert [study for study, _ in counts_not(bench, price)] == ["quay"]
    assert "wren" in paid_now(bench, load_study(bench, "quay")).elsewhere
    rates.add_rate(bench, Rate(of=DRELL, into=CROWN, rate=Decimal("0.4"), on=ago(1)), at=NOW)
    paid = paid_now(bench, load_study(bench, "quay"))
    counted = paid.by_setup["wren"]
    assert (counted.minor, counted.currency, counted.id) == (1000, DRELL, price.id)
    assert counted.note == "400.00\xa0cr where 1\xa0dl is 0.4\xa0cr, of 3 May 2031"
    assert paid.elsewhere == {}
    assert counts_not(bench, price) == ()


def test_a_price_of_a_day_to_come_does_not_count_yet_and_moves_no_replay(bench: Workbench) -> None:
    now, early = own(bench, 400, days=2), own(bench, 999, days=-200)
    record = load_study(bench, "quay")
    assert dict(build_looks(bench, record)["wren"].days) == {now.on: 400}
    paid = paid_now(bench, record)
    assert (paid.by_setup["wren"], dict(paid.to_come)) == (now, {"wren": early})
    told = prices_told(bench, "quay")
    assert (told.counts, told.to_come) == ({"wren": now.id}, {early.id})
    assert later_price(bench, "quay", "wren", DAY.isoformat()) == ""


def test_what_was_written_down_before_its_day_counts_from_that_day_on_though_nobody_changes_anything(
    bench: Workbench,
) -> None:
    early = own(bench, 999, days=-2)
    add(bench, offer("k6", 300), offer("m1", 90), offer("m1", 50, days=-5))
    record = load_study(bench, "quay")

    def known(on: date, hour: int) -> tuple[int, list[int], set[int]]:
        at = datetime(on.year, on.month, on.day, hour, tzinfo=UTC)
        bench.clock = lambda: at
        days = build_looks(bench, record)["wren"].days
        told = prices_told(bench, "quay")
        early_ones = part_days(bench, ["m1"], DRELL)["m1"].early
        return days[max(days)], [each.item_minor for each in early_ones], set(told.to_come)

    assert known(DAY, 12) == (390, [50], {early.id})
    assert known(ago(-1), 9) == (390, [50], {early.id})
    # Somewhere on earth the day after the next has begun by now.
    assert known(ago(-1), 10) == (999, [50], set())
    assert known(ago(-4), 9) == (999, [50], set())
    assert known(ago(-4), 10) == (350, [], set())
    assert paid_now(bench, record).by_setup["wren"].minor == 350
    assert paid_now(bench, record).to_come == {}


def test_an_offer_of_a_day_to_come_does_not_count_yet(bench: Workbench) -> None:
    add(bench, offer("k6", 300), offer("m1", 90), offer("m1", 50, days=-3))
    assert build_looks(bench, load_study(bench, "quay"))["wren"].days == {DAY: 390}
    assert [each.item_minor for each in part_days(bench, ["m1"], DRELL)["m1"].early] == [50]


def test_out_of_stock_and_used_make_no_price_of_new_parts(bench: Workbench) -> None:
    used = offer("m1", 40, seller=Seller.USED)
    add(bench, offer("k6", 300, days=2), offer("k6", 280, in_stock=False), offer("m1", 90, days=1), used)
    found = part_days(bench, ["k6", "m1"], DRELL)
    assert found["k6"].looked.out == {DAY}
    record = load_study(bench, "quay")
    assert study_prices(bench, record.study, record.builds.values())["wren"].out == {DAY}
    assert found["m1"].days == {ago(1): 90}
    assert [each.item_minor for each in found["m1"].used] == [40]
    assert build_looks(bench, load_study(bench, "quay"))["wren"] == Looked(
        days={ago(1): 390}, out=frozenset({DAY})
    )


def test_without_a_currency_there_are_no_days(stocked: Workbench) -> None:
    add(stocked, offer("k6", 300))
    assert build_looks(stocked, load_study(stocked, "quay")) == {"wren": Looked(), "plover": Looked()}
    assert paid_now(stocked, load_study(stocked, "quay")).by_setup == {}


def test_an_offer_that_is_taken_back_moves_the_price(bench: Workbench) -> None:
    add(bench, offer("k6", 300), offer("m1", 90, days=1), offer("m1", 60))
    last = offers.offers_of(bench, ["m1"])[-1]
    assert paid_now(bench, load_study(bench, "quay")).minor == {"wren": 360}
    offers.take_back_offer(bench, last.id, at=LATER)
    assert paid_now(bench, load_study(bench, "quay")).minor == {"wren": 390}
