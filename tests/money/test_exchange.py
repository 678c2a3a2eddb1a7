"""Rates of their day, both ways and exact; what other rates say of one."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from evenhand.money.exchange import detour, exchanged, rate_for
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate

CROWN, DRELL, MARK = (
    Currency(symbol="cr"),
    Currency(symbol="dl", decimals=0),
    Currency(symbol="mk", decimals=3),
)
DAY = date(2031, 5, 4)
some_rates = st.decimals(min_value="0.0001", max_value="9999", places=4)
currencies = st.sampled_from((CROWN, DRELL, MARK))


def rate(of: Currency, into: Currency, text: str, *, ago: int = 0, number: int = 0) -> Rate:
    return Rate(of=of, into=into, rate=Decimal(text), on=DAY - timedelta(days=ago), id=number)


def test_the_rate_of_a_day_is_that_of_the_last_day_before_it_either_way() -> None:
    old, new = rate(CROWN, DRELL, "2.4", ago=9, number=1), rate(DRELL, CROWN, "0.4", ago=2, number=2)
    later = rate(CROWN, DRELL, "3", number=3)
    every = (later, old, new)
    assert rate_for(every, CROWN, DRELL, on=DAY) is later
    assert rate_for(every, CROWN, DRELL, on=DAY - timedelta(days=1)) is new
    assert rate_for(every, DRELL, CROWN, on=DAY - timedelta(days=3)) is old
    assert rate_for(every, CROWN, DRELL, on=DAY - timedelta(days=10)) is None
    assert rate_for(every, CROWN, MARK, on=DAY) is None


def test_of_one_day_the_last_that_was_written_down_stands() -> None:
    first, second = rate(CROWN, DRELL, "2.4", number=1), rate(CROWN, DRELL, "2.5", number=2)
    assert rate_for((second, first), CROWN, DRELL, on=DAY) is second


@given(minor=st.integers(0, 10**12), rate_of=some_rates, pair=st.tuples(currencies, currencies))
def test_an_amount_is_the_nearest_whole_minor_unit(
    minor: int, rate_of: Decimal, pair: tuple[Currency, Currency]
) -> None:
    """Held against fractions: off by half a minor unit at most, half away from 0, above 0 never nothing."""
    of, into = pair
    one = Rate(of=of, into=into, rate=rate_of, on=DAY)
    scale = Fraction(10**into.decimals, 10**of.decimals)
    for found, exact in (
        (one.changed(minor), minor * Fraction(rate_of) * scale),
        (one.changed_back(minor), minor / Fraction(rate_of) / scale),
    ):
        assert type(found) is int
        assert -Fraction(1, 2) < found - exact <= Fraction(1, 2)
    if of != into:
        assert exchanged(minor, one, into=into) == (max(one.changed(minor), 1) if minor else 0)
        assert exchanged(minor, one, into=of) == (max(one.changed_back(minor), 1) if minor else 0)


def test_amounts_below_nothing_round_as_those_above() -> None:
    half = Rate(of=DRELL, into=DRELL, rate=Decimal("0.5"), on=DAY)
    assert (half.changed(3), half.changed(-3)) == (2, -2)


def test_other_rates_say_what_a_rate_should_be() -> None:
    by_mark = (rate(CROWN, MARK, "2"), rate(DRELL, MARK, "0.5"))
    found = detour(rate(CROWN, DRELL, "5"), by_mark)
    assert found is not None
    assert (found.through, found.rate) == ((MARK,), Fraction(4))
    assert detour(rate(CROWN, DRELL, "5"), by_mark[:1]) is None
    assert detour(rate(CROWN, DRELL, "5", ago=1), by_mark) is None  # these are of a later day
    assert detour(rate(CROWN, DRELL, "5"), (rate(CROWN, DRELL, "4"),)) is None  # the pair itself is no detour
