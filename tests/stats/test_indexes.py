"""The index over tests: known answers, and coverage under shared errors."""

import math

import numpy as np
import pytest
from scipy import stats

from evenhand.stats.indexes import boot_index, fixed_index, sample_of_tests
from evenhand.stats.weighing import shares

# true ratios of two fictional machines over five games; their index is +2.7 %
GAMES = np.log([88 / 79.5, 61 / 71.5, 165 / 148, 96 / 89, 104 / 103.6])


def test_the_index_is_the_geometric_mean():
    flat = [0.01] * 5
    assert math.exp(fixed_index(GAMES, flat, [8] * 5, weights=[1] * 5).d) == pytest.approx(
        stats.gmean(np.exp(GAMES))
    )
    assert math.exp(fixed_index(GAMES, flat, [8] * 5, weights=[1] * 5).d) == pytest.approx(1.027, abs=5e-4)


def test_weights_weigh_logs_whatever_their_sum():
    w = [2, 1, 1, 0, 4]
    assert fixed_index(GAMES, [0.01] * 5, [8] * 5, weights=w).d == pytest.approx(np.average(GAMES, weights=w))
    assert fixed_index(GAMES, [0.01] * 5, [8] * 5, weights=np.array(w) / 7).se == pytest.approx(
        fixed_index(GAMES, [0.01] * 5, [8] * 5, weights=w).se
    )


def test_two_tests_of_one_run_pair_each_give_welch_satterthwaite():
    # the textbook case: a sum of two independent estimates is Welch's problem
    a, b = [1.0, 2.0, 4.0], [0.5, 0.7, 1.9, 1.0]
    peer = stats.ttest_ind(a, b, equal_var=False)
    e = fixed_index([np.mean(a), -np.mean(b)], [stats.sem(a), stats.sem(b)], [2, 3], weights=[1, 1])
    assert e.df == pytest.approx(peer.df)
    assert e.d / e.se == pytest.approx(peer.statistic)


def test_complete_boots_are_students_t_over_boot_indexes():
    rng = np.random.default_rng(1)
    a, b = rng.standard_normal((4, 5)), rng.standard_normal((4, 5))
    w = np.array([3, 1, 1, 1, 2]) / 8
    e = boot_index(a, b, weights=w)
    peer = stats.ttest_ind(a @ w, b @ w)
    assert (e.d / e.se, e.df) == (pytest.approx(peer.statistic), pytest.approx(6.0))


def test_tests_with_boots_of_their_own_are_summed_as_independent():
    a = np.array([[0.1, np.nan], [0.3, np.nan], [np.nan, 0.0], [np.nan, 0.5]])
    b = np.array([[0.0, 0.0], [0.01, 0.01], [0.02, 0.02]])
    e = boot_index(a, b, weights=[1, 1])
    expected = (0.02 / 2 + 0.125 / 2) / 4 + np.var([0.0, 0.01, 0.02], ddof=1) / 3
    assert e.se**2 == pytest.approx(expected)


@pytest.mark.parametrize("lost", [False, True])
def test_the_boot_index_keeps_its_level_under_a_shared_error(lost):
    rng = np.random.default_rng(4)
    hits, studies, tests, boots = 0, 2000, 8, 4
    for _ in range(studies):
        a, b = (rng.standard_normal((boots, 1)) + rng.standard_normal((boots, tests)) for _ in range(2))
        if lost:
            a[1, 2] = np.nan
        e = boot_index(a, b, weights=[1] * tests)
        hits += abs(e.d) < e.half_width(0.95)
    assert 0.94 <= hits / studies <= 0.965


def test_the_sum_over_tests_keeps_its_level_without_a_shared_error():
    rng = np.random.default_rng(4)
    hits, studies, tests, n = 0, 4000, 8, 3
    sd = np.array([0.5, 0.7, 1, 1, 1, 1.2, 1.5, 2])
    for _ in range(studies):
        d = sd * rng.standard_normal(tests) * math.sqrt(2 / n)
        se = sd * np.sqrt(rng.chisquare(4, tests) / 4 * 2 / n)
        e = fixed_index(d, se, [4] * tests, weights=[1] * tests)
        hits += abs(e.d) < e.half_width(0.95)
    assert 0.94 <= hits / studies <= 0.96


def test_tests_as_a_sample_are_students_t_over_tests():
    found = sample_of_tests(GAMES, weights=[1] * 5)
    low, high = stats.t.interval(0.95, 4, loc=GAMES.mean(), scale=stats.sem(GAMES))
    mean, _ = found.half_widths(0.95)
    assert (found.mean - mean, found.mean + mean) == (pytest.approx(low), pytest.approx(high))


def test_a_test_not_run_is_uncertain_by_ten_percent_at_seven_tests_and_a_spread_of_four():
    d = np.array([-1.5, -1, -0.5, 0, 0.5, 1, 1.5])
    d = 0.04 * d / d.std(ddof=1)
    _, new = sample_of_tests(d, weights=[1] * 7).half_widths(0.95)
    assert new == pytest.approx(stats.t.ppf(0.975, 6) * 0.04 * math.sqrt(8 / 7))
    assert round(100 * new) == 10


def test_a_prediction_holds_a_new_test_as_often_as_it_says():
    rng = np.random.default_rng(8)
    draws = rng.standard_normal((4000, 6))
    found = [sample_of_tests(x[:5], weights=[1] * 5) for x in draws]
    hits = sum(abs(f.mean - x[5]) < f.half_widths(0.95)[1] for f, x in zip(found, draws, strict=True))
    assert 0.94 <= hits / 4000 <= 0.96


def test_one_test_is_no_sample():
    assert sample_of_tests([0.1], weights=[1]) is None


@pytest.mark.parametrize("weights", [[], [0, 0], [1, -1], [math.nan, 1]])
def test_weights_that_weigh_nothing_are_refused(weights):
    with pytest.raises(ValueError, match="weights"):
        shares(weights)
