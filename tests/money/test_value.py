"""Two machines at any prices: never a better buy inside the band, and who leads at which further cost."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.money.break_even import break_even
from evenhand.money.value import (
    Edge,
    Stand,
    edge_of,
    grid,
    leads,
    per_thousand,
    stand,
    stand_of_all,
)

# The example's own: Plover over Dunlin by +1.4 %, level from 1,014 to 1,039 dl where Dunlin costs 1,012.
EDGE = Edge(effect=0.01413, half=0.0126)
INDEX = {"wren": 1.0, "plover": 1.3058, "dunlin": 1.2874}
PRICES = {"wren": 742, "plover": 998, "dunlin": 1012}
EDGES = st.builds(Edge, effect=st.floats(-1, 1), half=st.floats(0.0001, 0.5))
MINOR = st.integers(1, 10**6)


def test_the_planted_prices_turn_where_the_example_says() -> None:
    days = {1: 998, 21: 1022, 38: 1044}
    found = {day: stand(price, 1012, EDGE, margin=0.03) for day, price in days.items()}
    assert found == {1: Stand.A, 21: Stand.LEVEL, 38: Stand.B}


@given(MINOR, MINOR, st.integers(0, 10**5), EDGES)
def test_inside_the_band_nobody_is_the_better_buy(a: int, b: int, fixed: int, edge: Edge) -> None:
    even = break_even(b, effect=edge.effect, half=edge.half, fixed_minor=fixed)
    assert even.low is not None
    assert even.high is not None
    found = stand(a, b, edge, margin=0.03, fixed_minor=fixed)
    if even.low <= a <= even.high:
        assert found in (Stand.LEVEL, Stand.OPEN)
    else:
        assert found is (Stand.A if a < even.low else Stand.B)


@given(MINOR, MINOR, EDGES)
def test_it_is_the_same_seen_from_the_other_side(a: int, b: int, edge: Edge) -> None:
    swapped = {Stand.A: Stand.B, Stand.B: Stand.A}
    there = stand(b, a, edge.other_way, margin=0.03)
    here = stand(a, b, edge, margin=0.03)
    ends = break_even(b, effect=edge.effect, half=edge.half)
    assert ends.low is not None
    assert ends.high is not None
    if min(abs(a - ends.low), abs(a - ends.high)) > 1e-6 * a:
        assert swapped.get(there, "neither") == (here if here in swapped else "neither")


@given(MINOR, st.integers(0, 10**5), EDGES)
def test_a_break_even_gives_back_the_difference_it_was_made_of(b: int, fixed: int, edge: Edge) -> None:
    even = break_even(b, effect=edge.effect, half=edge.half, fixed_minor=fixed)
    found = edge_of(even, b, fixed_minor=fixed)
    assert found.half is not None
    assert found.effect == pytest.approx(edge.effect, abs=1e-9)
    assert found.half == pytest.approx(edge.half, abs=1e-9)


def test_without_an_interval_nothing_is_said() -> None:
    edge = Edge(effect=0.5, half=None)
    assert stand(1, 1000, edge, margin=0.03) is Stand.UNKNOWN
    assert edge_of(break_even(1000, effect=0.5, half=None), 1000).half is None


def test_over_a_grid_a_dearer_one_never_becomes_the_better_buy() -> None:
    rows = grid(range(900, 1150, 10), range(900, 1150, 25), EDGE, margin=0.03)
    for row in rows:
        sides = [2 if each is Stand.B else 0 if each is Stand.A else 1 for each in row]
        assert sides == sorted(sides)
    assert {each for row in rows for each in row} == {Stand.A, Stand.LEVEL, Stand.B}


def test_a_wide_band_is_not_told_apart_rather_than_level() -> None:
    wide = Edge(effect=0.01413, half=0.04)
    assert stand(1022, 1012, wide, margin=0.03) is Stand.OPEN
    assert grid((900, 1022), (1012,), wide, margin=0.03) == ((Stand.A, Stand.OPEN),)


@pytest.mark.parametrize(
    ("costs", "found"),
    [
        ([(990, 1012), (995, 1012)], Stand.A),
        ([(990, 1012), (1100, 1012)], Stand.OPEN),
        ([(1022, 1012), (1024, 1012)], Stand.LEVEL),
        ([(990, 1012), (-5, 1012)], Stand.UNKNOWN),
        ([], Stand.UNKNOWN),
    ],
)
def test_of_costs_that_are_not_known_exactly_only_what_all_of_them_say_is_said(
    costs: list[tuple[int, int]], found: Stand
) -> None:
    assert stand_of_all(costs, EDGE, margin=0.03) is found


def test_with_screen_and_desk_another_one_gives_most_for_the_money() -> None:
    alone = {s: round(per_thousand(INDEX[s], PRICES[s], thousand=1000), 3) for s in INDEX}
    besides = {s: round(per_thousand(INDEX[s], PRICES[s], thousand=1000, fixed_minor=250), 3) for s in INDEX}
    assert alone == {"wren": 1.348, "plover": 1.308, "dunlin": 1.272}
    assert besides == {"wren": 1.008, "plover": 1.046, "dunlin": 1.020}
    # Alike where 1 / (742 + F) = 1.3058 / (998 + F): F = (998 − 1.3058 × 742) / 0.3058 = 95.2
    assert [(each.setup, round(each.fixed_from, 1)) for each in leads(INDEX, PRICES)] == [
        ("wren", 0.0), ("plover", 95.1),
    ]  # fmt: skip


@given(
    st.lists(st.tuples(st.floats(0.2, 5), MINOR), min_size=1, max_size=5),
    st.lists(st.floats(0, 10**6), min_size=5, max_size=5),
)
def test_whoever_leads_gives_most_at_every_further_cost(
    machines: list[tuple[float, int]], costs: list[float]
) -> None:
    index = {str(i): each for i, (each, _) in enumerate(machines)}
    minor = {str(i): each for i, (_, each) in enumerate(machines)}
    found = leads(index, minor)
    assert [each.fixed_from for each in found] == sorted(each.fixed_from for each in found)
    for fixed in costs:
        leader = [each for each in found if each.fixed_from <= fixed][-1].setup
        most = max(index[s] / (minor[s] + fixed) for s in index)
        assert math.isclose(index[leader] / (minor[leader] + fixed), most, rel_tol=1e-6)
