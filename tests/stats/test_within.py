"""The law of the circular block bootstrap is the law of what one would draw, only exact."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from evenhand.stats.within import _convolved, _count_law, _on_grid, mean_interval, quantile_interval


def resample(values: np.ndarray, block: int, starts: np.ndarray) -> np.ndarray:
    """The resamples that these starts make, shape (draws, n): blocks joined and cut at the end."""
    places = (starts[:, :, None] + np.arange(block)) % values.size
    return values[places.reshape(starts.shape[0], -1)[:, : values.size]]


def every_resample(values: np.ndarray, block: int) -> np.ndarray:
    blocks = -(-values.size // block)
    return resample(values, block, np.array(list(itertools.product(range(values.size), repeat=blocks))))


def drawn(values: np.ndarray, block: int, draws: int, seed: int) -> np.ndarray:
    starts = np.random.default_rng(seed).integers(0, values.size, (draws, -(-values.size // block)))
    return resample(values, block, starts)


def dependent(n: int, seed: int) -> np.ndarray:
    """Frame-like times: a slow wave, memory, and a few long ones."""
    rng = np.random.default_rng(seed)
    noise = np.convolve(rng.normal(0, 0.04, n + 29), np.ones(30) / np.sqrt(30), "valid")
    values = 9 * np.exp(0.1 * np.sin(np.arange(n) / 90) + noise)
    values[rng.random(n) < 0.004] *= 3
    return values


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from([1.0, 2.0, 2.5, 4.0, 9.0, 9.5]), min_size=7, max_size=7),
    st.integers(2, 7),
    st.sampled_from([1 / 2, 2 / 3, 5 / 6]),
    st.sampled_from([0.5, 0.8, 0.95]),
)
def test_quantiles_of_all_resamples_there_are(
    values: list[float], block: int, q: float, level: float
) -> None:
    x = np.array(values)
    place = round(q * 6)  # a whole place: the quantile is one order statistic
    law = np.sort(np.sort(every_resample(x, block), axis=1)[:, place])
    tail = (1 - level) / 2
    ends = [law[np.searchsorted(np.arange(1, law.size + 1) / law.size, p - 1e-10)] for p in (tail, 1 - tail)]
    assert quantile_interval(x, q, block=block, level=level) == tuple(ends)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(2, 6), st.sampled_from([0.5, 0.8, 0.95]))
def test_the_law_of_the_mean_is_that_of_all_resamples(seed: int, block: int, level: float) -> None:
    x = np.random.default_rng(seed).lognormal(2, 0.5, 7)
    law = every_resample(x, block).mean(axis=1)
    whole, rest = divmod(7, block)
    step = law.std() / np.sqrt(whole) / 32  # of the grid; no block is moved further than one step on it
    moved = step * (whole + (rest > 0) + 0.5)
    tail = (1 - level) / 2
    for end, p in zip(mean_interval(x, block=block, level=level), (tail, 1 - tail), strict=True):
        assert (law <= end - moved).mean() <= p <= (law <= end + moved).mean()


def test_an_order_statistic_of_independent_draws_is_binomial() -> None:
    x = np.random.default_rng(2).lognormal(2, 0.4, 501)
    ranked = np.sort(x)
    place = 495  # 0.99 · 500
    exceeding = stats.binom(501, (500 - np.arange(501)) / 501)
    reaches = exceeding.cdf(500 - place)
    ends = tuple(ranked[np.argmax(reaches >= p)] for p in (0.025, 0.975))
    assert quantile_interval(x, 0.99, block=1) == ends


def test_counts_of_independent_draws_are_binomial_to_twelve_digits() -> None:
    law = _count_law(np.arange(120), 12_000, 1, 180)
    assert np.abs(law - stats.binom(12_000, 0.01).cdf(np.arange(181))).max() < 2e-12


def test_the_law_of_counts_is_their_plain_convolution() -> None:
    rng = np.random.default_rng(4)
    n, block, most = 1000, 90, 40
    places = np.sort(rng.choice(n, 30, replace=False))
    marks = np.zeros(n)
    marks[places] = 1

    def counts(length: int) -> np.ndarray:
        circle = np.r_[marks, marks]
        inside = [int(circle[s : s + length].sum()) for s in range(n)]
        return np.bincount(inside, minlength=length + 1) / n

    plain = counts(n % block)
    for _ in range(n // block):
        plain = np.convolve(plain, counts(block))
    assert np.abs(_count_law(places, n, block, most) - np.cumsum(plain)[: most + 1]).max() < 2e-12


def test_nothing_wraps_around_and_the_mean_stays() -> None:
    sums = np.random.default_rng(5).exponential(1.0, 400)
    law = _convolved([(_on_grid(sums, 0.05), 7)])
    at = 7 * sums.min() + 0.05 * np.arange(law.size)
    assert law.sum() == pytest.approx(1, abs=1e-12)
    assert law @ at == pytest.approx(7 * sums.mean(), rel=1e-10)
    variance = law @ (at - law @ at) ** 2
    assert 0 <= variance / (7 * sums.var()) - 1 <= 0.05**2 / 4 / sums.var()


@pytest.mark.parametrize(("n", "block", "seed"), [(2001, 100, 1), (1501, 110, 2)])
def test_direct_resampling_falls_beyond_each_end_as_often_as_it_should(n: int, block: int, seed: int) -> None:
    x = dependent(n, seed)
    y = drawn(x, block, 10_000, seed)
    for law, ends in (
        (y.mean(axis=1), mean_interval(x, block=block)),
        (
            np.partition(y, 99 * (n - 1) // 100)[:, 99 * (n - 1) // 100],
            quantile_interval(x, 0.99, block=block),
        ),
    ):
        for end, p in zip(ends, (0.025, 0.975), strict=True):
            chance = 4 * np.sqrt(p * (1 - p) / law.size)
            assert (law < end).mean() - chance <= p <= (law <= end).mean() + chance


@pytest.mark.parametrize(("n", "block", "seed"), [(1470, 90, 3), (1777, 100, 4)])
def test_ends_lie_within_the_seed_to_seed_spread_of_direct_resampling(n: int, block: int, seed: int) -> None:
    x = dependent(n, seed)
    draws = [drawn(x, block, 2000, 100 * seed + k) for k in range(8)]
    for statistic, exact in (
        (lambda y: y.mean(axis=1), mean_interval(x, block=block)),
        (lambda y: np.quantile(y, 0.99, axis=1), quantile_interval(x, 0.99, block=block)),
    ):
        ends = np.array([np.quantile(statistic(y), [0.025, 0.975]) for y in draws])
        rounding = 1e-12 * ends.max()
        assert np.all((ends.min(axis=0) - rounding <= exact) & (exact <= ends.max(axis=0) + rounding))


def test_a_change_of_unit_changes_the_ends_alike() -> None:
    x = dependent(2000, 9)
    low, high = mean_interval(x, block=100)
    assert mean_interval(1000 * x + 5, block=100) == pytest.approx(
        (1000 * low + 5, 1000 * high + 5), rel=1e-9
    )
    low, high = quantile_interval(x, 0.99, block=100)
    assert quantile_interval(1000 * x, 0.99, block=100) == pytest.approx((1000 * low, 1000 * high), rel=1e-12)


def test_a_circle_has_no_first_value() -> None:
    x = dependent(2000, 8)
    for turned in (np.roll(x, 700), x[::-1].copy()):
        assert mean_interval(turned, block=80) == pytest.approx(mean_interval(x, block=80), rel=1e-6)
        assert quantile_interval(turned, 0.99, block=80) == quantile_interval(x, 0.99, block=80)


def test_the_interval_holds_the_estimate_and_grows_with_the_level() -> None:
    x = dependent(3000, 7)
    narrow, wide = (mean_interval(x, block=150, level=level) for level in (0.8, 0.99))
    assert wide[0] < narrow[0] < x.mean() < narrow[1] < wide[1]
    narrow, wide = (quantile_interval(x, 0.99, block=150, level=level) for level in (0.8, 0.99))
    assert wide[0] < narrow[0] <= np.quantile(x, 0.99) <= narrow[1] < wide[1]


def test_a_constant_series_has_an_interval_of_no_width() -> None:
    x = np.full(500, 16.6)
    assert mean_interval(x, block=50) == (pytest.approx(16.6), pytest.approx(16.6))
    assert quantile_interval(x, 0.99, block=50) == (16.6, 16.6)


def test_one_huge_value_is_carried_through() -> None:
    x = np.full(5000, 10.0)
    x[1234] = 1e6
    low, high = mean_interval(x, block=100)
    # the value enters a resample 0, 1, 2, … times: the ends are whole multiples of it
    hits = stats.binom(50, 1 / 50)
    assert low == pytest.approx(10, rel=1e-12)
    assert high == pytest.approx(10 + hits.ppf(0.975) * (1e6 - 10) / 5000, rel=0.01)


def test_a_run_held_at_one_rate_with_many_ties_ends_on_its_values() -> None:
    x = np.where(np.arange(4000) % 37 == 0, 33.3, 16.7)
    low, high = quantile_interval(x, 0.99, block=123)
    assert {low, high} <= {16.7, 33.3}


@pytest.mark.parametrize("block", [0, 11, -1])
def test_a_block_must_fit(block: int) -> None:
    for ask in (
        lambda: mean_interval(np.ones(10), block=block),
        lambda: quantile_interval(np.ones(10), 0.9, block=block),
    ):
        with pytest.raises(ValueError, match="does not fit"):
            ask()


def test_a_quantile_must_lie_inside() -> None:
    with pytest.raises(ValueError, match="has no interval"):
        quantile_interval(np.ones(10), 1.0, block=2)
