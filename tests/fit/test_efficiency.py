"""What of a meter's reading is drawn behind the supply."""

from __future__ import annotations

import pytest
from tests.fit.parts import part

from evenhand.fit.efficiency import at_load, handed_on

CURVE = {"20": 88.0, "50": 92.0, "100": 89.0}


def test_the_curve_is_read_at_the_load_that_comes_of_it() -> None:
    supply = part("supply", power_w=500, efficiency_by_load=CURVE)
    share = handed_on([supply], 300.0)
    assert share is not None
    # At 300 W from the wall it hands on 275.6 W, which is 55.1 % of 500 W: 92 - 3 * 5.1 / 50 = 91.7 %.
    assert share == pytest.approx(0.917, abs=0.0005)
    assert 100 * share == pytest.approx(at_load(CURVE, 100 * share * 300 / 500))


def test_a_curve_goes_before_a_single_number_and_needs_a_rating() -> None:
    both = part("supply", power_w=500, efficiency=80, efficiency_by_load=CURVE)
    assert handed_on([both], 100.0) == pytest.approx(0.88)
    assert handed_on([part("supply", efficiency=80, efficiency_by_load=CURVE)], 100.0) == 0.8


def test_of_several_supplies_the_best_counts_and_one_that_says_nothing_leaves_it_open() -> None:
    one, other = part("supply", efficiency=85), part("supply", "second", efficiency=90)
    assert handed_on([one, other], 400.0) == 0.9
    assert handed_on([one, part("supply", "third")], 400.0) is None
    assert handed_on([], 400.0) is None


def test_beyond_the_ends_it_is_as_at_the_ends() -> None:
    assert [at_load(CURVE, load) for load in (1, 20, 100, 150)] == [88.0, 88.0, 89.0, 89.0]
