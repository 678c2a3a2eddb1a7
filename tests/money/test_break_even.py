"""What one machine may cost to be worth as much as another."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.money.break_even import BreakEven, Value, better_value, break_even, fixed_at_which_alike

EFFECTS = st.floats(-0.7, 0.7)
PRICES = st.integers(1, 10**7)


def test_the_example_of_the_workshop():
    """Index +1.42 % (0.2 to 2.7) against 1,012: worth 1,026, between 1,014 and 1,039."""
    made = break_even(101200, effect=0.01413, half=0.0126)
    assert (round(made.at / 100), round(made.low / 100), round(made.high / 100)) == (1026, 1014, 1039)


@given(other=PRICES, effect=EFFECTS, fixed=st.integers(0, 10**6))
def test_at_the_break_even_price_both_give_the_same_for_the_money(other, effect, fixed):
    at = break_even(other, effect=effect, half=None, fixed_minor=fixed).at
    assert math.exp(effect) / (at + fixed) == pytest.approx(1.0 / (other + fixed))


@given(other=PRICES, effect=EFFECTS, half=st.floats(0, 0.2))
def test_turning_the_pair_round_turns_the_price_round(other, effect, half):
    a = break_even(other, effect=effect, half=half)
    back = break_even(round(a.at), effect=-effect, half=half)
    assert back.at == pytest.approx(other, rel=1e-3, abs=1.5)


def test_what_both_need_besides_makes_a_difference_worth_more_money():
    bare, with_desk = (break_even(1000, effect=0.1, half=None, fixed_minor=f).at for f in (0, 250))
    assert bare == pytest.approx(1105.17, abs=0.01)
    assert with_desk == pytest.approx(1131.46, abs=0.01)


@pytest.mark.parametrize(
    ("price", "says"), [(1013, Value.A), (1014, Value.LEVEL), (1039, Value.LEVEL), (1040, Value.B)]
)
def test_within_the_band_either_will_do(price, says):
    assert better_value(price, against=BreakEven(at=1026, low=1014, high=1039)) is says


def test_without_an_interval_nothing_is_said_of_value():
    assert better_value(900, against=BreakEven(at=1026, low=None, high=None)) is Value.UNKNOWN


def test_two_give_the_same_for_the_money_at_one_sum_of_further_costs() -> None:
    fixed = fixed_at_which_alike(1.0, 742, index_b=1.3, minor_b=998)
    assert fixed is not None
    assert 1.0 / (742 + fixed) == pytest.approx(1.3 / (998 + fixed))
    assert fixed_at_which_alike(1.0, 742, index_b=1.0, minor_b=998) is None
    assert fixed_at_which_alike(1.0, 742, index_b=1.4, minor_b=998) is None  # the better value from the start
