"""Prices as steps: none longer than fifteen days, none over another, every day with a price begins one."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from evenhand.money.looked import Looked, price_on
from evenhand.money.price_steps import steps

DAY = date(2031, 5, 4)


@given(looks=st.dictionaries(st.integers(-3, 120), st.integers(1, 10**6), max_size=20))
def test_steps_say_what_stands_on_every_day(looks: dict[int, int]) -> None:
    days = {DAY - timedelta(days=ago): minor for ago, minor in looks.items()}
    found = list(steps(days, until=DAY))
    assert [step.start for step in found] == [d for d in sorted(days) if DAY - timedelta(90) < d <= DAY]
    for here, following in pairwise(found):
        assert here.joined is (here.end == following.start)
        assert here.end <= following.start
    shown = {day: minor for day, minor in days.items() if day > DAY - timedelta(days=90)}
    for ago in range(90):
        day = DAY - timedelta(days=ago)
        own = [step.minor for step in found if step.start <= day < step.end]
        expected = price_on(Looked(days=shown), day)
        assert own == ([] if expected is None else [expected])


def test_out_of_stock_ends_a_step_until_it_is_seen_again() -> None:
    days = {DAY - timedelta(days=ago): 90 for ago in (9, 3)}
    ended, again = steps(days, until=DAY, out={DAY - timedelta(days=ago) for ago in (7, 6, 12)})
    assert (ended.end, ended.joined) == (DAY - timedelta(days=7), False)
    assert (again.start, again.end) == (DAY - timedelta(days=3), DAY + timedelta(days=1))
