"""Counts that scatter more than Poisson: the tail, and how the scatter is learned."""

import numpy as np
import pytest
from scipy import stats

from evenhand.stats.clustered_counts import at_least, excess_dispersion, pooled_dispersion


@pytest.mark.parametrize("mean", [0.2, 3.0, 40.0])
@pytest.mark.parametrize("phi", [0.02, 0.3, 2.0])
@pytest.mark.parametrize("count", [1, 4, 60])
def test_the_tail_is_that_of_a_negative_binomial(count, phi, mean):
    size = 1 / phi
    wanted = stats.nbinom.sf(count - 1, size, size / (size + mean))
    assert at_least(count, mean, mean + phi * mean**2) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("variance", [0.0, 3.0, 3.0 + 1e-12])
def test_without_excess_it_is_poisson(variance):
    assert at_least(7, 3.0, variance) == pytest.approx(stats.poisson.sf(6, 3.0), rel=1e-9)


def test_none_or_more_is_certain_and_one_where_none_can_be_is_not():
    assert at_least(0, 3.0, 9.0) == 1.0
    assert at_least(1, 0.0, 0.0) == 0.0


def test_a_negative_count_has_no_law():
    with pytest.raises(ValueError, match="no law"):
        at_least(-1, 3.0, 9.0)


def test_dispersion_is_found_in_many_counts():
    rng = np.random.default_rng(7)
    exposures = rng.uniform(0.5, 2, 4000)
    mean = 30 * exposures
    counts = stats.nbinom.rvs(5, 5 / (5 + mean), random_state=rng).astype(float)
    phi, weight = excess_dispersion(counts, exposures)
    assert phi == pytest.approx(0.2, rel=0.1)
    assert weight > 2500


def test_poisson_counts_show_none_and_few_events_weigh_little():
    rng = np.random.default_rng(8)
    phi, weight = excess_dispersion(rng.poisson(0.5, 400).astype(float), np.ones(400))
    assert abs(phi) < 0.2
    assert weight < 0.05 * 399


def test_what_cannot_teach_weighs_nothing():
    assert excess_dispersion(np.array([4.0]), np.ones(1)) == (0.0, 0.0)
    assert excess_dispersion(np.zeros(3), np.ones(3)) == (0.0, 0.0)
    assert pooled_dispersion([], least=0.02) == 0.02
