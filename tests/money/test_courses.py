"""Paths of several machines: what each costs from buying on, and if an order holds if parts fetch less."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from tests.money.test_paths import market

from evenhand.money.circles import Circle, circles
from evenhand.money.courses import Course, beats, course_of, holds, simplest, unbeaten
from evenhand.money.market import Ware
from evenhand.money.paths import Change, Path, best_paths, kept_worth


def a_course(start: str, bought: int, fetched: int, mean: float = 1.0, least: float = 1.0) -> Course:
    path = Path(changes=(), net_minor=bought - fetched, mean=mean, least=least)
    return Course(start=start, path=path, bought_minor=bought, fetched_minor=fetched)


def test_a_course_costs_what_its_path_costs_and_the_machine_before() -> None:
    for seed in range(40):
        ways = market(random.Random(seed))
        for path in best_paths(ways):
            course = course_of(ways, path, start="owned", price_minor=1000)
            assert course.net_minor == 1000 + path.net_minor


# Bought for 1,100 and 1,150 in all, sold for 286 and 262: 814 and 888 in the end.
DUNLIN = a_course("dunlin", 1100, 286, mean=1.49, least=1.31)
PLOVER = a_course("plover", 1150, 262, mean=1.43, least=1.31)


def test_what_costs_less_and_is_better_beats() -> None:
    assert beats(DUNLIN, PLOVER)
    assert not beats(PLOVER, DUNLIN)
    assert not beats(DUNLIN, DUNLIN)


def test_an_order_may_hold_in_common_and_not_for_each_by_itself() -> None:
    found = holds(DUNLIN, PLOVER)
    assert found.in_common
    # At 80 % and 120 %: 1100 - 228.8 = 871.2 against 1150 - 314.4 = 835.6.
    assert not found.each
    # They are 74 apart and fetch 286 and 262.
    assert found.turns_at == pytest.approx(74 / 548)


def test_the_ends_of_a_swing_decide_it() -> None:
    """No point between the ends says otherwise than they do."""
    rng = random.Random(7)
    for _ in range(300):
        one, other = (
            a_course(name, rng.randint(500, 900), rng.randint(0, 400), rng.choice((1.0, 1.1)))
            for name in "ab"
        )
        found = holds(one, other)
        between = range(80, 121, 4)
        assert found.each == all(beats(one, other, own=a, its=b) for a, b in product(between, between))
        assert found.in_common == all(beats(one, other, own=a, its=a) for a in between)


def test_no_swing_turns_what_is_behind_or_fetches_nothing() -> None:
    assert holds(PLOVER, DUNLIN).turns_at is None
    assert holds(a_course("a", 500, 0), a_course("b", 600, 0)).turns_at is None


def test_only_those_that_none_beats_are_left_the_cheapest_first() -> None:
    dear = a_course("wren", 1400, 286, mean=1.6, least=1.3)
    assert unbeaten([dear, PLOVER, DUNLIN]) == (DUNLIN, dear)


def test_a_part_that_fetches_more_than_it_costs_is_a_circle() -> None:
    costs = np.array([100, 100, 100, 100, 100])
    fair = Ware(key="fair", kind="k", score=0, costs=costs,
                fetches=kept_worth(costs, share=0.6, lost_a_month=0.1))  # fmt: skip
    cheap = np.array([100, 70, 90, 100])
    fetches = kept_worth(cheap, share=1.0, lost_a_month=0.0)
    fetches[1, 3] = 75
    odd = Ware(key="odd", kind="k", score=0, costs=cheap, fetches=fetches)
    assert tuple(circles([fair, odd])) == (
        Circle(part="odd", bought_in=1, costs_minor=70, sold_in=3, fetches_minor=75),
    )


def test_worst_months_within_the_margin_count_as_alike() -> None:
    later = a_course("plover", 1150, 262, mean=1.43, least=1.33)
    assert not beats(DUNLIN, later)
    assert beats(DUNLIN, later, margin=0.03)
    assert not beats(later, DUNLIN, margin=0.03)


def a_change(month: int) -> Change:
    return Change(month=month, parts=("osk-9",))


def test_a_further_change_is_told_only_where_it_brings_something() -> None:
    once = replace(DUNLIN, path=replace(DUNLIN.path, changes=(a_change(14),)))
    path = replace(DUNLIN.path, changes=(a_change(3), a_change(14)))
    for_nothing = replace(DUNLIN, path=replace(path, mean=1.495), fetched_minor=306)
    better = replace(for_nothing, path=replace(path, mean=1.56))
    cheaper = replace(for_nothing, fetched_minor=330)
    assert simplest([once, for_nothing, better, cheaper]) == (once, better, cheaper)
