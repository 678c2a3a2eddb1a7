"""Exact intervals of counts: published values, other libraries, and how often they hold the truth."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.rates import confint_poisson

from evenhand.stats.counts import compare_rates, rate_interval

counts = st.integers(0, 400)


@pytest.mark.parametrize(
    ("count", "low", "high"), [(0, 0.0, 3.689), (1, 0.0253, 5.572), (5, 1.623, 11.668), (10, 4.795, 18.390)]
)
def test_published_limits_of_a_poisson_mean(count: int, low: float, high: float) -> None:
    # the usual table of exact 95 % limits, from χ² quantiles with 2k and 2k + 2 degrees of freedom
    assert rate_interval(count, 1.0) == pytest.approx((low, high), abs=6e-4)


@given(counts, st.floats(0.1, 1000), st.sampled_from([0.8, 0.95, 0.99]))
def test_rate_intervals_agree_with_chi_squared_and_with_another_library(
    count: int, exposure: float, level: float
) -> None:
    low, high = rate_interval(count, exposure, level=level)
    tail = (1 - level) / 2
    assert high == pytest.approx(stats.chi2.ppf(1 - tail, 2 * count + 2) / 2 / exposure, rel=1e-9)
    if count:
        assert low == pytest.approx(stats.chi2.ppf(tail, 2 * count) / 2 / exposure, rel=1e-9)
        other = confint_poisson(count, exposure, method="exact-c", alpha=1 - level)
        assert (low, high) == pytest.approx(tuple(map(float, other)), rel=1e-9)


@pytest.mark.parametrize("mean", [0.3, 2.0, 7.5, 30.0])
def test_the_rate_interval_covers_at_least_its_level(mean: float) -> None:
    k = np.arange(0, 200)
    held = np.array([low <= mean <= high for low, high in (rate_interval(int(c), 1.0) for c in k)])
    assert stats.poisson(mean).pmf(k) @ held >= 0.95


@given(counts, counts, st.floats(0.1, 50), st.floats(0.1, 50))
def test_the_test_of_two_rates_is_the_binomial_one(a: int, b: int, time_a: float, time_b: float) -> None:
    found = compare_rates((a, time_a), (b, time_b))
    share = time_a / (time_a + time_b)
    law = stats.binom(a + b, share)
    assert found.p == pytest.approx(min(1.0, 2 * min(law.cdf(a), law.sf(a - 1))), rel=1e-6, abs=1e-12)
    if a + b:
        theirs = stats.binomtest(a, a + b).proportion_ci(0.95, method="exact")
        for ours, share_end in ((found.low, theirs.low), (found.high, theirs.high)):
            ratio = math.inf if share_end == 1 else share_end / (1 - share_end) * time_b / time_a
            assert ours == pytest.approx(ratio, rel=1e-6)


@given(counts, counts, st.floats(0.2, 5))
def test_p_and_interval_say_the_same(a: int, b: int, under: float) -> None:
    found = compare_rates((a, 3.0), (b, 4.0), under=under)
    if abs(found.p - 0.05) > 1e-9:
        assert (found.p < 0.05) == (not found.low <= under <= found.high)


@given(counts, counts)
def test_the_other_way_round_turns_the_ratio_over(a: int, b: int) -> None:
    one, other = compare_rates((a, 3.0), (b, 5.0)), compare_rates((b, 5.0), (a, 3.0))
    assert one.p == pytest.approx(other.p, rel=1e-9)
    if a and b:
        assert one.ratio == pytest.approx(1 / (other.ratio or math.nan))
        assert (one.low, one.high) == pytest.approx((1 / other.high, 1 / other.low), rel=1e-9)


def test_no_events_on_one_side_or_on_both() -> None:
    neither = compare_rates((0, 1.0), (0, 1.0))
    assert (neither.ratio, neither.low, neither.high, neither.p) == (None, 0.0, math.inf, 1.0)
    only_a = compare_rates((5, 1.0), (0, 1.0))
    assert only_a.ratio == math.inf
    assert only_a.high == math.inf
    assert only_a.low == pytest.approx(0.025 ** (1 / 5) / (1 - 0.025 ** (1 / 5)))
    assert only_a.p == pytest.approx(2 * 0.5**5)


def test_false_alarms_are_at_most_their_level() -> None:
    k = np.arange(0, 60)
    p = np.array([[compare_rates((int(a), 2.0), (int(b), 3.0)).p for b in k] for a in k])
    both = np.outer(stats.poisson(6).pmf(k), stats.poisson(9).pmf(k))
    assert both[p < 0.05].sum() <= 0.05


@pytest.mark.parametrize(("count", "exposure"), [(-1, 1.0), (1, 0.0), (1, math.nan), (1, math.inf)])
def test_what_has_no_rate_is_refused(count: int, exposure: float) -> None:
    with pytest.raises(ValueError, match="have no rate"):
        rate_interval(count, exposure)
    with pytest.raises(ValueError, match="have no rate"):
        compare_rates((count, exposure), (1, 1.0))


def test_a_ratio_under_test_must_be_above_zero() -> None:
    with pytest.raises(ValueError, match="ratio of rates"):
        compare_rates((1, 1.0), (1, 1.0), under=0.0)
