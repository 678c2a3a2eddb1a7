"""Of several machines the pair that matters is whoever is in front and its nearest rival."""

import math
from dataclasses import replace
from itertools import combinations

import pytest

from evenhand.findings.finding import Outcome
from evenhand.money.break_even import BreakEven, Value
from evenhand.verdicts.front_pair import By, front_pair
from evenhand.verdicts.verdict import Verdict

MARGIN = math.log(1.03)


def judged(rates: dict[str, float], prices: dict[str, int] | None = None) -> list[Verdict]:
    """Every pair as it stands by these rates, without error; value where both have a price."""
    found = []
    for a, b in combinations(rates, 2):
        ratio = rates[a] / rates[b]
        apart = math.log(ratio)
        outcome = Outcome.LEVEL if abs(apart) < MARGIN else Outcome.AHEAD if apart > 0 else Outcome.BEHIND
        even, value, paid = None, Value.UNKNOWN, None
        if prices and a in prices and b in prices:
            at, paid = prices[b] * ratio, (prices[a], prices[b])
            even = BreakEven(at=at, low=at * 0.99, high=at * 1.01)
            value = Value.A if paid[0] < at * 0.99 else Value.B if paid[0] > at * 1.01 else Value.LEVEL
        found.append(
            Verdict(
                audience="x", a=a, b=b, outcome=outcome, ratio=ratio, low=None, high=None, bound_low=None,
                bound_high=None, p_holm=None, value=value, break_even=even, prices=paid,
            )
        )  # fmt: skip
    return found


RATES = {"slow": 70.0, "mid": 90.0, "fast": 110.0, "next": 101.0}


def test_without_prices_it_is_by_the_index() -> None:
    found = front_pair(judged(RATES))
    assert found is not None
    assert (found.pair, found.front, found.rival) == (("fast", "next"), "fast", "next")
    assert (found.by, found.clear) == (By.INDEX, True)


def test_with_prices_it_is_by_value_and_the_rival_is_nearest_by_value() -> None:
    """A jump of price for the fast ones: slow is the best value, mid after it."""
    found = front_pair(judged(RATES, {"slow": 50000, "mid": 72000, "fast": 120000, "next": 99000}))
    assert found is not None
    assert (found.pair, found.front, found.by, found.clear) == (("slow", "mid"), "slow", By.VALUE, True)


def test_a_price_that_is_lacking_leaves_the_index() -> None:
    found = front_pair(judged(RATES, {"slow": 50000, "mid": 72000, "fast": 120000}))
    assert found is not None
    assert found.by is By.INDEX


def test_what_is_open_at_the_front_goes_before_a_value_that_is_clear() -> None:
    found = front_pair(judged({**RATES, "next": 109.0}, {s: int(500 * r**1.3) for s, r in RATES.items()}))
    assert found is not None
    assert (found.pair, found.by, found.clear) == (("fast", "next"), By.INDEX, False)


def test_somebody_whom_nobody_is_called_before_is_no_clear_front() -> None:
    """The third is measured so roughly that nothing is called of it: it is a rival, however far it seems."""
    rough = [
        replace(each, outcome=Outcome.UNSETTLED) if "slow" in (each.a, each.b) else each
        for each in judged({"slow": 70.0, "mid": 90.0, "fast": 110.0})
    ]
    found = front_pair(rough)
    assert found is not None
    assert (found.pair, found.front, found.rival, found.clear) == (("slow", "fast"), "fast", "slow", False)


def test_a_value_that_is_open_is_nobodys_lead() -> None:
    prices = {"slow": 50000, "mid": 64300, "fast": 120000, "next": 99000}
    found = judged(RATES, prices)
    open_ = [replace(each, value_open=each.value is Value.LEVEL) for each in found]
    assert any(each.value_open for each in open_)
    made = front_pair(open_)
    assert made is not None
    assert (made.front, made.rival, made.clear) == ("slow", "mid", False)


def test_what_must_be_bought_besides_counts_for_who_is_nearest() -> None:
    """With much to be bought besides, a cheap machine is no better value than a fast one."""
    prices = {"slow": 50000, "mid": 72000, "fast": 120000, "next": 99000}
    dear = [
        Verdict(
            **{name: getattr(v, name) for name in v.__slots__}
            | {
                "break_even": BreakEven(at=(v.prices[1] + 900000) * v.ratio - 900000, low=0.0, high=9e9),
                "value": Value.A if v.ratio > 1 else Value.B,
            }
        )
        for v in judged(RATES, prices)
        if v.prices
    ]
    found = front_pair(dear, fixed_minor=900000)
    assert found is not None
    assert (found.front, found.rival, found.by) == ("fast", "next", By.VALUE)


@pytest.mark.parametrize("rates", [{"a": 1.0, "b": 2.0}, {}])
def test_of_two_there_is_no_choice(rates: dict[str, float]) -> None:
    assert front_pair(judged(rates)) is None
