"""Orders favour nobody: every place and every neighbour equally often, each order followed by its mirror."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest

from evenhand.plans.balance import balanced_orders, order_of

SETUPS = pytest.mark.parametrize("setups", [2, 3, 4, 5])


@SETUPS
def test_every_setup_stands_in_every_place_equally_often(setups: int) -> None:
    orders = balanced_orders(setups)
    for place in range(setups):
        counts = Counter(order[place] for order in orders)
        assert set(counts.values()) == {len(orders) // setups}


@SETUPS
def test_every_setup_follows_every_other_equally_often(setups: int) -> None:
    followed = Counter(pair for order in balanced_orders(setups) for pair in pairwise(order))
    assert len(followed) == setups * (setups - 1)
    assert len(set(followed.values())) == 1


@SETUPS
def test_each_order_is_followed_by_its_mirror(setups: int) -> None:
    orders = balanced_orders(setups)
    assert all(orders[i + 1] == orders[i][::-1] for i in range(0, len(orders), 2))


@SETUPS
@pytest.mark.parametrize("shift", [0, 1, 3])
@pytest.mark.parametrize("flip", [0, 1])
def test_a_straight_drift_over_two_blocks_falls_out(setups: int, shift: int, flip: int) -> None:
    places = Counter[int]()
    for block in (0, 1):
        for place, setup in enumerate(order_of(setups, block=block, shift=shift, flip=flip)):
            places[setup] += block * setups + place
    assert len(set(places.values())) == 1


def test_a_single_setup_has_nothing_to_take_turns_with() -> None:
    assert order_of(1, block=5, shift=3, flip=1) == (0,)
