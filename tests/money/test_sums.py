"""The sum of parts by day: what stands for how long, and what keeps a day from having a sum."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from evenhand.money.looked import Looked, seen_on
from evenhand.money.sums import SumOfParts, counting_sellers, sums
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency

DAY = date(2031, 5, 4)
looks = st.dictionaries(st.integers(0, 40), st.integers(1, 10**9), max_size=12)


def ago(days: int) -> date:
    return DAY - timedelta(days=days)


def of(*days: int, minor: int = 100, out: tuple[int, ...] = ()) -> Looked:
    return Looked(days={ago(day): minor for day in days}, out=frozenset(map(ago, out)))


def test_a_price_stands_fourteen_days_and_not_one_more() -> None:
    assert seen_on(of(14), DAY) == ago(14)
    assert seen_on(of(15), DAY) is None


def test_out_of_stock_ends_a_price_until_it_is_seen_again() -> None:
    part = of(9, 3, out=(6,))
    assert seen_on(part, ago(7)) == ago(9)
    assert seen_on(part, ago(5)) is None
    assert seen_on(part, DAY) == ago(3)


def test_a_day_without_one_part_has_no_sum() -> None:
    board, card = of(10), of(20, 3)
    assert sums((board, card)) == {
        ago(10): SumOfParts(minor=200, oldest=ago(20)),
        ago(3): SumOfParts(minor=200, oldest=ago(10)),
    }
    assert sums((board, Looked())) == {}


def test_a_part_that_is_in_twice_is_paid_twice() -> None:
    assert sums((of(0), of(0)))[DAY].minor == 200


@given(parts=st.lists(looks, min_size=1, max_size=5))
def test_every_sum_is_exact_and_of_prices_at_most_fourteen_days_old(parts: list[dict[int, int]]) -> None:
    looked = [Looked(days={ago(day): minor for day, minor in each.items()}) for each in parts]
    found = sums(looked)
    for on, told in found.items():
        last = [max(day for day in part.days if day <= on) for part in looked]
        assert told == SumOfParts(
            minor=sum(part.days[day] for part, day in zip(looked, last, strict=True)), oldest=min(last)
        )
        assert type(told.minor) is int
        assert on - told.oldest <= timedelta(days=14)
    for on in {day for part in looked for day in part.days} - set(found):
        assert any(all(not timedelta(0) <= on - d <= timedelta(days=14) for d in p.days) for p in looked)


def test_used_ones_count_only_where_there_are_no_new_ones() -> None:
    def offer(seller: Seller) -> Offer:
        return Offer(part="k6", item_minor=1, currency=Currency(symbol="cr"), on=DAY, seller=seller)

    assert counting_sellers([offer(Seller.USED)]) == {Seller.USED}
    assert counting_sellers(map(offer, Seller)) == {Seller.SHOP, Seller.MARKET}
    assert counting_sellers([]) == frozenset()
