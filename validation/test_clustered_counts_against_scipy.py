"""The tail of clustered counts against scipy.stats' negative binomial and Poisson laws."""

import numpy as np
import pytest
from scipy import stats

from evenhand.stats.clustered_counts import at_least


def test_tails_agree_over_the_whole_range_that_hitches_can_take() -> None:
    """Means of 0.05 to 400, dispersions of 0.002 to 2.7."""
    rng = np.random.default_rng(20261125)
    for _ in range(2000):
        mean, phi = float(np.exp(rng.uniform(-3, 6))), float(np.exp(rng.uniform(-6, 1)))
        count = int(rng.integers(0, int(3 * mean) + 10))
        size = 1 / phi
        wanted = stats.nbinom.sf(count - 1, size, size / (size + mean))
        assert at_least(count, mean, mean + phi * mean**2) == pytest.approx(wanted, rel=1e-7, abs=1e-300)


def test_a_vanishing_dispersion_leads_to_poisson() -> None:
    """Where the negative binomial ends."""
    for mean, count in ((0.3, 2), (5.0, 12), (200.0, 260)):
        wanted = stats.poisson.sf(count - 1, mean)
        assert at_least(count, mean, mean * (1 + 1e-7)) == pytest.approx(wanted, rel=1e-4)
