"""The finding stays, prices move: on which day the better buy turns."""

from __future__ import annotations

import math
from collections.abc import Collection
from datetime import date, timedelta
from itertools import pairwise
from random import Random

import pytest

from evenhand.money.break_even import Value
from evenhand.money.looked import KEPT_DAYS, Looked, is_out_on, price_on
from evenhand.money.replay import replayed, shares, turns

END = date(2031, 8, 2)
EFFECT, HALF = 0.01413, 0.0126  # break-even at 1,026 against 1,012, its band 1,014 to 1,039


def path(*prices: int, out: Collection[int] = ()) -> Looked:
    """A price for each day up to the end; on days so long `out` ago nobody had it."""
    every = {END - timedelta(days=ago): price for ago, price in enumerate(reversed(prices)) if ago not in out}
    return Looked(days=every, out=frozenset(END - timedelta(days=ago) for ago in out))


def test_the_better_buy_turns_on_the_day_its_price_leaves_the_band() -> None:
    plover = path(*[998] * 52, *[1022] * 17, *[1044] * 21)
    days = replayed(plover, path(*[1012] * 90), effect=EFFECT, half=HALF, until=END)
    first, then = turns(days)
    assert (first.on, first.before, first.after) == (END - timedelta(days=37), Value.A, Value.LEVEL)
    assert (then.on, then.before, then.after) == (END - timedelta(days=20), Value.LEVEL, Value.B)
    assert shares(days) == pytest.approx(
        {Value.A: 52 / 90, Value.LEVEL: 17 / 90, Value.B: 21 / 90, Value.UNKNOWN: 0}
    )


def test_nothing_turns_inside_the_band() -> None:
    rng = Random(5)
    plover = path(*(rng.randint(1015, 1038) for _ in range(90)))
    assert not list(turns(replayed(plover, path(*[1012] * 90), effect=EFFECT, half=HALF, until=END)))


def test_turns_are_those_of_every_day_worked_out_by_hand() -> None:
    rng = Random(11)
    a, b = (path(*(rng.randint(960, 1080) for _ in range(90))) for _ in range(2))
    days = replayed(a, b, effect=EFFECT, half=HALF, until=END, fixed_minor=250)
    for day in days:
        low, high = ((b.days[day.on] + 250) * math.exp(EFFECT + s * HALF) - 250 for s in (-1, 1))
        by_hand = Value.A if a.days[day.on] < low else Value.B if a.days[day.on] > high else Value.LEVEL
        assert day.value is by_hand
    changed = [d.on for before, d in pairwise(days) if before.value is not d.value]
    assert [turn.on for turn in turns(days)] == changed


def test_a_price_stands_for_two_weeks_and_no_longer() -> None:
    days = Looked(days={END - timedelta(days=KEPT_DAYS): 998})
    assert price_on(days, END) == 998
    assert price_on(days, END + timedelta(days=1)) is None
    assert price_on(days, END - timedelta(days=KEPT_DAYS + 1)) is None


def test_days_without_a_price_are_told_and_never_filled() -> None:
    days = replayed(path(*[998] * 10), path(*[1012] * 90), effect=EFFECT, half=HALF, until=END)
    assert shares(days)[Value.UNKNOWN] == pytest.approx(80 / 90)
    assert not list(turns(days))


def test_without_an_interval_nobody_is_the_better_buy() -> None:
    days = replayed(path(*[998] * 90), path(*[1012] * 90), effect=EFFECT, half=None, until=END)
    assert {day.value for day in days} == {Value.UNKNOWN}


def test_a_price_stands_no_longer_once_somebody_looked_and_it_was_out_of_stock() -> None:
    seen = Looked(days={END: 998, END + timedelta(days=6): 1010}, out=frozenset({END + timedelta(days=3)}))
    by_day = {
        n: (price_on(seen, on), is_out_on(seen, on)) for n in range(8) for on in (END + timedelta(days=n),)
    }
    had = {0: 998, 1: 998, 2: 998, 6: 1010, 7: 1010}
    assert by_day == {n: (had.get(n), n not in had) for n in range(8)}


def test_on_a_day_on_which_one_is_out_of_stock_nobody_leads() -> None:
    """It is back at the same price: nothing turned on the way."""
    plover = path(*[998] * 90, out=range(10, 20))
    days = replayed(plover, path(*[1012] * 90), effect=EFFECT, half=HALF, until=END)
    gone = [day for day in days if day.a_out]
    assert [day.on for day in gone] == [END - timedelta(days=ago) for ago in reversed(range(10, 20))]
    assert {(day.a_minor, day.b_minor, day.value) for day in gone} == {(None, 1012, Value.UNKNOWN)}
    assert not any(day.b_out for day in days)
    assert shares(days)[Value.A] == pytest.approx(80 / 90)
    assert not list(turns(days))
