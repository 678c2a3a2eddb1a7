"""The exact within-run intervals against a resampling library that draws them at random.

Source: the circular block bootstrap of the `arch` library (Sheppard), which joins blocks and cuts the
last one short, as we do. Both ends must lie within the library's own scatter from seed to seed.
"""

import numpy as np
import numpy.typing as npt
import pytest
from arch.bootstrap import CircularBlockBootstrap

from evenhand.stats.within import mean_interval, quantile_interval

SEEDS = range(10)
DRAWS = 2000


def _mean(x: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    return np.array([x.mean()])


def _p99(x: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    return np.array([np.quantile(x, 0.99)])


def _series(n: int) -> npt.NDArray[np.float64]:
    rng = np.random.default_rng(20)
    wave = 0.12 * np.sin(np.arange(n) / 150)
    x = 11 * np.exp(wave + rng.normal(0, 0.05, n))
    x[rng.random(n) < 0.003] *= 2.5
    return x


@pytest.mark.parametrize(("n", "block"), [(2400, 120), (2000, 130)])
def test_ends_lie_within_the_librarys_seed_to_seed_spread(n: int, block: int) -> None:
    """Mean and 99th percentile, with and without a cut last block."""
    x = _series(n)
    asked = ((_mean, mean_interval(x, block=block)), (_p99, quantile_interval(x, 0.99, block=block)))
    for statistic, exact in asked:
        ends = np.array([
            CircularBlockBootstrap(block, x, seed=seed).conf_int(statistic, DRAWS, method="percentile")[:, 0]
            for seed in SEEDS
        ])  # fmt: skip
        assert np.all((ends.min(axis=0) <= exact) & (exact <= ends.max(axis=0)))
