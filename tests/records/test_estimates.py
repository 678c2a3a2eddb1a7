"""Estimates refuse to be ordered, so that nobody ranks by a point value."""

import operator

import pytest

from evenhand.records.estimates import Estimate

ONE = Estimate(value=1.02, unit="ratio", low=1.0, high=1.04, level=0.95, n=6, method="guarded moderated")
TWO = Estimate(value=1.01, unit="ratio", low=0.99, high=1.03, level=0.95, n=6, method="guarded moderated")


@pytest.mark.parametrize("compare", [operator.lt, operator.le, operator.gt, operator.ge])
def test_comparing_two_estimates_is_an_error(compare):
    with pytest.raises(TypeError, match=r"evenhand\.findings"):
        compare(ONE, TWO)


@pytest.mark.parametrize("ranking", [max, min, sorted])
def test_ranking_estimates_is_an_error(ranking):
    with pytest.raises(TypeError, match="no order"):
        ranking([ONE, TWO])


def test_equal_estimates_are_equal():
    assert ONE != TWO
