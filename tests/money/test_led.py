"""Who led of all machines at once: each day is that of trying every two of them by hand."""

from __future__ import annotations

import math
from datetime import date, timedelta
from itertools import combinations
from random import Random

import pytest

from evenhand.money.led import days_led, led
from evenhand.money.looked import Looked
from evenhand.money.value import Edge

END = date(2031, 8, 2)
INDEX = {"wren": 0.0, "plover": 0.27, "dunlin": 0.25, "knot": 0.1}
HALF = {("wren", "plover"): 0.03, ("wren", "dunlin"): 0.02, ("plover", "dunlin"): 0.0126}


def edges(*machines: str) -> dict[tuple[str, str], Edge]:
    return {
        (a, b): Edge(effect=INDEX[a] - INDEX[b], half=HALF.get((a, b), 0.05))
        for a, b in combinations(machines, 2)
    }


def of(*prices: int, out: tuple[int, ...] = ()) -> Looked:
    days = {END - timedelta(days=ago): each for ago, each in enumerate(reversed(prices)) if ago not in out}
    return Looked(days=days, out=frozenset(END - timedelta(days=ago) for ago in out))


@pytest.mark.parametrize("machines", [("wren", "plover", "dunlin"), tuple(INDEX)])
def test_leaders_are_those_whom_nobody_beats_by_hand(machines: tuple[str, ...]) -> None:
    rng, between = Random(7), edges(*machines)
    near = {"wren": 742, "plover": 998, "dunlin": 1012, "knot": 830}
    looks = {key: of(*(rng.randint(near[key] - 60, near[key] + 60) for _ in range(90))) for key in machines}
    found = led(looks, between, until=END, fixed_minor=40)
    assert len(found) == 90
    for day in found:
        worth = {key: INDEX[key] - math.log(looks[key].days[day.on] + 40) for key in machines}
        beaten = {
            loser
            for (a, b), edge in between.items()
            for loser, gap in ((b, worth[a] - worth[b]), (a, worth[b] - worth[a]))
            if edge.half is not None and gap > edge.half
        }
        assert day.leaders == tuple(key for key in machines if key not in beaten)
        assert max(worth, key=lambda key: worth[key]) in day.leaders
    assert {len(day.leaders) for day in found} >= {1, 2}
    counts = days_led(found, machines)
    assert sum(counts.values()) == 90
    assert list(counts)[: len(machines)] == [(key,) for key in machines]


def test_days_on_which_one_is_out_of_stock_or_has_no_price_are_nobodys() -> None:
    looks = {"wren": of(*[742] * 30), "plover": of(*[998] * 90, out=(3, 4)), "dunlin": of(*[1012] * 90)}
    found = led(looks, edges(*looks), until=END)
    assert [day.on for day in found if day.out] == [END - timedelta(days=ago) for ago in (4, 3)]
    assert {day.out for day in found if day.out} == {("plover",)}
    assert sum(bool(day.leaders) for day in found) == 28
    assert sum(days_led(found, tuple(looks)).values()) == 28


def test_without_an_interval_between_two_nobody_leads() -> None:
    looks = {"wren": of(742), "plover": of(998), "dunlin": of(1012)}
    between = edges(*looks) | {("plover", "dunlin"): Edge(effect=0.0, half=None)}
    assert not any(day.leaders for day in led(looks, between, until=END))


def test_one_that_led_on_no_day_is_told_and_ties_come_after() -> None:
    looks = {"wren": of(*[400] * 4), "plover": of(*[998] * 4), "dunlin": of(*[1012] * 4)}
    counts = days_led(led(looks, edges(*looks), until=END, over=4), tuple(looks))
    assert counts == {("wren",): 4, ("plover",): 0, ("dunlin",): 0}
