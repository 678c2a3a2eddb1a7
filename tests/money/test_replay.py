"""The finding stays, prices move: on which day the better buy turns."""

from __future__ import annotations

import math
from datetime import date, timedelta
from itertools import pairwise
from random import Random

import pytest

from evenhand.money.break_even import Value
from evenhand.money.replay import KEPT_DAYS, price_on, replayed, shares, turns

END = date(2031, 8, 2)
EFFECT, HALF = 0.01413, 0.0126  # break-even at 1,026 against 1,012, its band 1,014 to 1,039


def path(*prices: int) -> dict[date, int]:
    """A price for each day up to the end."""
    return {END - timedelta(days=ago): price for ago, price in enumerate(reversed(prices))}


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
        low, high = ((b[day.on] + 250) * math.exp(EFFECT + s * HALF) - 250 for s in (-1, 1))
        by_hand = Value.A if a[day.on] < low else Value.B if a[day.on] > high else Value.LEVEL
        assert day.value is by_hand
    changed = [d.on for before, d in pairwise(days) if before.value is not d.value]
    assert [turn.on for turn in turns(days)] == changed


def test_a_price_stands_for_two_weeks_and_no_longer() -> None:
    days = {END - timedelta(days=KEPT_DAYS): 998}
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
