"""A common effect of small experiments, none of which may decide alone."""

import numpy as np
import pytest
from scipy import stats

from evenhand.stats.bounded import BOUND, held_variance, pooled_effect


def test_the_variance_of_a_held_normal_is_that_of_numerical_integration():
    grid = np.linspace(-9, 9, 400_001)
    wanted = np.trapezoid(np.clip(grid, -BOUND, BOUND) ** 2 * stats.norm.pdf(grid), grid)
    assert held_variance(BOUND) == pytest.approx(wanted, rel=1e-6)


def test_equal_experiments_give_their_mean_and_nearly_its_normal_interval():
    found = pooled_effect([0.009, 0.010, 0.011], [0.01] * 3, [1e9] * 3)
    assert found.effect == pytest.approx(0.010, abs=1e-9)
    assert (found.high - found.low) / 2 == pytest.approx(1.96 * 0.01 / np.sqrt(3), rel=0.06)


def test_one_wild_experiment_moves_the_rest_by_no_more_than_its_bound():
    calm = [0.010, 0.012, 0.008, 0.011, 0.009]
    wild = [pooled_effect([*calm, x], [0.004] * 6, [4] * 6).effect for x in (0.05, 5.0)]
    assert wild[0] == pytest.approx(wild[1], abs=1e-6)
    assert wild[0] == pytest.approx(0.010, abs=0.003)


def test_the_interval_leaves_nothing_out_exactly_where_p_is_below_its_level():
    rng = np.random.default_rng(1)
    for _ in range(60):
        effects, errors = rng.normal(0.006, 0.01, 6), rng.uniform(0.004, 0.012, 6)
        found = pooled_effect(effects, errors, np.full(6, 3.0))
        assert (found.low > 0 or found.high < 0) == (found.p < 0.05)


def test_the_sign_and_the_unit_of_the_effects_are_carried_through():
    effects, errors, dfs = np.array([0.02, 0.01, 0.03]), np.array([0.01, 0.005, 0.02]), [2, 3, 4]
    one, other = pooled_effect(effects, errors, dfs), pooled_effect(-100 * effects, 100 * errors, dfs)
    assert other.effect == pytest.approx(-100 * one.effect, rel=1e-6)
    assert other.p == pytest.approx(one.p)


def test_noisy_experiments_that_look_calm_do_not_make_an_effect():
    rng = np.random.default_rng(2)
    hits, studies = 0, 1500
    for _ in range(studies):
        true = np.where(rng.random(8) < 0.125, 0.05, 0.01)
        variances = (0.01**2 * 4 + true**2 * rng.chisquare(1, 8)) / 5
        hits += pooled_effect(true * rng.standard_normal(8), np.sqrt(variances), np.full(8, 5.0)).p < 0.01
    assert hits / studies < 0.02


@pytest.mark.parametrize(("effects", "errors"), [([], []), ([0.1], [0.0])])
def test_without_an_error_there_is_no_common_effect(effects, errors):
    with pytest.raises(ValueError, match="no common effect"):
        pooled_effect(effects, errors, [3.0] * len(effects))
