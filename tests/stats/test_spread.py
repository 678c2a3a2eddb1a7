"""The spread learned over tests, and what each test may borrow of it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, optimize, special, stats

from evenhand.stats.spread import learn_spread, moderate, trigamma_inverse

variances = st.lists(st.floats(1e-8, 1e2), min_size=2, max_size=12)


@pytest.mark.parametrize("x", [1e-6, 1e-3, 0.4, 0.9348, 10.0, 1e6])
def test_trigamma_inverse_agrees_with_a_root_finder(x):
    root = optimize.brentq(lambda y: special.polygamma(1, y) - x, 1e-8, 1e8, xtol=1e-14, rtol=1e-12)
    assert trigamma_inverse(x) == pytest.approx(root, rel=1e-7)


def test_log_variances_have_the_moments_that_learning_removes():
    # Smyth 2004: E ln s² = ln σ² + ψ(df/2) − ln(df/2), var = ψ′(df/2), here against numerical integration
    df = 4
    density = stats.chi2(df).pdf
    mean, _ = integrate.quad(lambda x: np.log(x / df) * density(x), 0, np.inf)
    square, _ = integrate.quad(lambda x: np.log(x / df) ** 2 * density(x), 0, np.inf)
    assert mean == pytest.approx(special.psi(df / 2) - np.log(df / 2), abs=1e-6)
    assert square - mean**2 == pytest.approx(special.polygamma(1, df / 2), abs=1e-6)


def test_learning_follows_the_formula_written_out():
    v, df = np.array([1.0, 2.5, 0.4, 1.7, 0.9]) * 1e-4, np.array([4.0, 4, 8, 4, 3])
    e = np.log(v) - special.psi(df / 2) + np.log(df / 2)
    noise = special.polygamma(1, df / 2)
    excess = (((e - e.mean()) ** 2).sum() - 4 * noise.mean() + 6 * special.polygamma(1, 1.5)) / (4 + 6)
    d0 = 2 * optimize.brentq(lambda y: special.polygamma(1, y) - excess, 1e-3, 1e6)
    spread = learn_spread(v, df)
    assert spread.df == pytest.approx(d0)
    assert spread.variance == pytest.approx(np.exp(e.mean() + special.psi(d0 / 2) - np.log(d0 / 2)))


def test_many_tests_of_known_spread_give_it_back():
    rng = np.random.default_rng(3)
    d0, s0_sq, df = 6.0, 2e-4, 4
    true = d0 * s0_sq / rng.chisquare(d0, 20_000)
    spread = learn_spread(true * rng.chisquare(df, 20_000) / df, np.full(20_000, df))
    assert spread.df == pytest.approx(d0, rel=0.05)
    assert spread.variance == pytest.approx(s0_sq, rel=0.03)


def test_tests_without_repeats_or_without_any_scatter_teach_nothing():
    assert learn_spread([0.0, 0.0, 1e-4], [0, 4, 4]) == learn_spread([1e-4], [4])
    assert learn_spread([0.0, 0.0], [4, 0]) is None


def test_each_test_borrows_from_the_others_only():
    v, df = np.array([1.0, 2.5, 0.4, 1.7]) * 1e-4, np.array([4.0, 4, 8, 4])
    lent = moderate(v, df)
    for i in range(4):
        others = np.arange(4) != i
        spread = learn_spread(v[others], df[others], for_new_test=True)
        assert lent.prior_dfs[i] == pytest.approx(spread.df)
        drawn = (spread.df * spread.variance + df[i] * v[i]) / (spread.df + df[i])
        assert lent.variances[i] == pytest.approx(drawn)


def test_one_test_alone_keeps_its_own_spread():
    lent = moderate([2e-4], [4])
    assert (lent.variances[0], lent.dfs[0], lent.prior_dfs[0]) == (2e-4, 4.0, 0.0)


def test_a_noisy_test_does_not_borrow_calm():
    lent = moderate([1e-4, 1.2e-4, 0.8e-4, 1.1e-4, 1e-4, 40e-4], [4] * 6)
    assert lent.guarded.tolist() == [False] * 5 + [True]
    assert (lent.variances[5], lent.dfs[5]) == (40e-4, 4.0)


def test_a_calm_test_is_not_drowned_by_disturbed_ones():
    lent = moderate([0.005**2, 0.05**2, 0.04**2], [4] * 3)
    assert (lent.variances[0], lent.dfs[0]) == (0.005**2, 4.0)
    usual = moderate([0.005**2, 0.01**2, 0.008**2], [4] * 3)
    assert usual.variances[0] > 0.005**2


def test_a_test_without_scatter_borrows_some():
    lent = moderate([0.0, 1e-4, 1.2e-4, 0.9e-4], [4] * 4)
    assert 0 < lent.variances[0] < 1e-4


def test_a_test_without_repeats_lives_on_the_others():
    lent = moderate([0.0, 1e-4, 1.2e-4, 0.9e-4], [0, 4, 4, 4])
    assert lent.borrowed.tolist() == [True, False, False, False]
    assert lent.variances[0] == pytest.approx(
        learn_spread([1e-4, 1.2e-4, 0.9e-4], [4] * 3, for_new_test=True).variance
    )


def test_where_nobody_has_repeats_nothing_is_known():
    lent = moderate([0.0, 0.0], [0, 0])
    assert np.isnan(lent.variances).all()
    assert lent.dfs.tolist() == [0.0, 0.0]


@given(variances, st.floats(1e-3, 1e3))
def test_another_unit_of_variance_changes_only_the_unit(v, unit):
    one, other = moderate(v, [4] * len(v)), moderate(np.array(v) * unit, [4] * len(v))
    assert other.variances == pytest.approx(one.variances * unit, rel=1e-6)
    assert other.dfs == pytest.approx(one.dfs, rel=1e-6)


@given(variances, st.randoms(use_true_random=False))
def test_the_order_of_tests_changes_nothing(v, random):
    order = list(range(len(v)))
    random.shuffle(order)
    one, other = moderate(v, [4] * len(v)), moderate(np.array(v)[order], [4] * len(v))
    assert other.variances == pytest.approx(one.variances[order], rel=1e-6)


@pytest.mark.parametrize("tests", [1, 2, 3, 9])
def test_intervals_keep_their_level_on_average_over_tests(tests):
    rng = np.random.default_rng(11)
    studies, n, hits = 1500, 3, 0
    for _ in range(studies):
        sd = 0.01 * np.exp(0.35 * rng.standard_normal(tests))
        d = rng.standard_normal(tests) * sd * np.sqrt(2 / n)
        v = sd**2 * rng.chisquare(2 * n - 2, tests) / (2 * n - 2)
        lent = moderate(v, [2 * n - 2] * tests)
        hits += int((np.abs(d) < special.stdtrit(lent.dfs, 0.975) * np.sqrt(lent.variances * 2 / n)).sum())
    assert 0.94 <= hits / (studies * tests) <= 0.96
