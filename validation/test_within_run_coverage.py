"""How often the within-run intervals hold the truth, on simulated stationary runs of known truth.

The bounds record what the method does, not what it claims: the interval of the mean is near its 95 %,
that of the 99th percentile falls short of it. A run's own interval is for show only for this reason too.
"""

import numpy as np
import pytest
from scipy.signal import lfilter
from scipy.special import ndtri

from evenhand.stats.within import mean_interval, quantile_interval

RUNS = 400
SPREAD = 0.08


@pytest.mark.parametrize(
    ("memory", "mean_held", "p99_held"),
    [(0.9, (0.91, 0.97), (0.86, 0.95)), (0.98, (0.85, 0.93), (0.72, 0.84))],
)
def test_share_of_runs_that_hold_the_truth(
    memory: float, mean_held: tuple[float, float], p99_held: tuple[float, float]
) -> None:
    """Sixty seconds at 100 a second in 2 s blocks; the log has the given correlation between neighbours."""
    rng = np.random.default_rng(7)
    mean, p99 = 10 * np.exp(SPREAD**2 / 2), 10 * np.exp(SPREAD * ndtri(0.99))
    held = np.zeros(2)
    for _ in range(RUNS):
        shocks = rng.normal(0, np.sqrt(1 - memory**2), 6500)
        x = 10 * np.exp(SPREAD * lfilter([1], [1, -memory], shocks)[500:])
        low, high = mean_interval(x, block=200)
        held[0] += low <= mean <= high
        low, high = quantile_interval(x, 0.99, block=200)
        held[1] += low <= p99 <= high
    held /= RUNS
    assert mean_held[0] <= held[0] <= mean_held[1]
    assert p99_held[0] <= held[1] <= p99_held[1]
