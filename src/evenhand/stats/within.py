"""Intervals for one series of dependent numbers: the exact law of the circular block bootstrap.

The circular block bootstrap joins blocks of consecutive values, each starting anywhere on the series
bent into a circle, until the series' length is reached, the last block cut short. Its mean is a sum of
independent block sums, and its quantiles are known from sums of independent block counts; both laws are
convolutions, so that nothing need be drawn at random.

Source: Politis and Romano 1992, "A circular block-resampling procedure for stationary data".
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt
from numpy import fft  # of the same source as SciPy's, and the same to the last bit; that loads for long

from evenhand.stats.lengths import quick_length

Series = npt.NDArray[np.float64]
Law = npt.NDArray[np.float64]
Transform = npt.NDArray[np.complex128]
Places = npt.NDArray[np.intp]

# Grid points per standard deviation of a block sum. A value between two points is shared between them
# so that its mean stays: that adds at most a quarter of a squared step to a block's variance, which
# widens the interval by less than 1/4000 of its width.
_POINTS_PER_SD = 32.0
_MOST_POINTS = 2**22

# What wraps around the damped transform of counts is damped to this, hence the error of a probability.
_WRAPPED = 1e-12

_STRAIGHT_TURNS = 6
_BOLDER = 1.5
_NORMAL = NormalDist()


def mean_interval(values: Series, *, block: int, level: float = 0.95) -> tuple[float, float]:
    """The percentile interval of the mean under the circular block bootstrap.

    `values`: shape (n,), finite. `block`: length of a block in values, 1 to n. The law is exact but for
    a grid whose steps widen the interval by less than 1/4000; the transform spans the whole range of the
    sum, so that nothing wraps around. Limits: the percentile interval knows no skewness correction, and
    its coverage is that of blocks longer than the memory of the series. Raises `ValueError` for a block
    that does not fit.

    >>> low, high = mean_interval(np.tile([1.0, 3.0], 50), block=1)
    >>> round(low, 2), round(high, 2)
    (1.8, 2.2)
    """
    n = _checked(values, block)
    whole, rest = divmod(n, block)
    parts = [(_block_sums(values, block), whole)]
    if rest:
        parts.append((_block_sums(values, rest), 1))
    variance = sum(times * float(sums.var()) for sums, times in parts)
    lowest = sum(times * float(sums.min()) for sums, times in parts)
    span = sum(times * float(np.ptp(sums)) for sums, times in parts)
    if span <= 1e-12 * abs(lowest):
        return float(values.mean()), float(values.mean())
    step = max(math.sqrt(variance / whole) / _POINTS_PER_SD, span / _MOST_POINTS)
    laws = []
    while parts:  # each is as long as the series: none is kept longer than it is needed
        sums, times = parts.pop(0)
        laws.append((_on_grid(sums, step), times))
        del sums
    law = _convolved(laws)
    tail = (1 - level) / 2
    # The mass of a point is spread over half a step to both sides: no resample lies beyond the last ones.
    low, high = (min(max(step * _grid_quantile(law, p), 0.0), span) for p in (tail, 1 - tail))
    return (lowest + low) / n, (lowest + high) / n


def quantile_interval(values: Series, q: float, *, block: int, level: float = 0.95) -> tuple[float, float]:
    """The percentile interval of the q quantile (Hyndman and Fan 1996, definition 7) under that bootstrap.

    `values`: shape (n,), n ≥ 2, finite; 0 < q < 1; cheapest for q near 1. An order statistic of the
    resample is at most t exactly if no more than so many resampled values exceed t, and that count is
    a sum of independent block counts: its law is exact to 1e-12. The quantile lies between two
    neighbouring order statistics; each end is interpolated between their ends, as is exact for two
    that rise and fall together, and these ends always enclose the exact one. Raises `ValueError` for a
    block or a q that does not fit.

    >>> quantile_interval(np.arange(1000.0), 0.5, block=1)
    (468.5, 530.5)
    """
    n = _checked(values, block)
    if not (0 < q < 1 and n >= 2):
        raise ValueError(f"a quantile of {q} of {n} values has no interval")
    place = q * (n - 1)
    below = min(math.floor(place + 1e-9), n - 2)
    weight = max(place - below, 0.0)
    spare = n - 1 - below  # so many values may exceed the lower order statistic; one less the upper
    order = np.argsort(values)
    ranked = values[order]
    spread = _count_spread(order[below + 1 :], n, block)

    @cache
    def law(rank: int) -> Law:
        exceeding = order[np.searchsorted(ranked, ranked[rank], side="right") :]
        return _count_law(exceeding, n, block, spare)

    def end(p: float) -> float:
        start = _likely_rank(p, spare=spare, spread=spread, last=n - 1)
        lower = _first(lambda r: float(law(r)[spare]), p, (0, n - 1), start=start, stride=spread)
        if weight < 1e-9:
            return float(ranked[lower])
        upper = _first(lambda r: float(law(r)[spare - 1]), p, (lower, n - 1), start=lower, stride=spread)
        return float(ranked[lower] + weight * (ranked[upper] - ranked[lower]))

    tail = (1 - level) / 2
    return end(tail), end(1 - tail)


def _checked(values: Series, block: int) -> int:
    if not 1 <= block <= values.size:
        raise ValueError(f"a block of {block} does not fit into {values.size} values")
    return values.size


def _block_sums(values: Series, length: int) -> Series:
    """The sum of the block that starts at each place of the circle, shape (n,)."""
    total = np.empty(values.size + length)
    total[0] = 0.0
    np.concatenate((values, values[: length - 1]), out=total[1:])
    np.cumsum(total[1:], out=total[1:])
    return np.asarray(total[length:] - total[:-length])


def _on_grid(sums: Series, step: float) -> Law:
    """The law of a sum drawn at random, as masses on a grid from the smallest sum upwards."""
    share = sums - sums.min()
    share /= step
    left = share.astype(np.int64)
    share -= left
    size = int(left.max()) + 2
    mass = np.bincount(left, weights=1 - share, minlength=size)
    left += 1
    mass += np.bincount(left, weights=share, minlength=size)
    return mass / sums.size


def _convolved(laws: list[tuple[Law, int]]) -> Law:
    """The law of the sum of independent draws, so many of each law; the transform spans all of it."""
    size = 1 + sum(times * (law.size - 1) for law, times in laws)
    points = quick_length(size)
    product = np.ones(points // 2 + 1, dtype=np.complex128)
    for law, times in laws:
        product *= _power(fft.rfft(law, points), times)
    return np.asarray(fft.irfft(product, points)[:size])


def _power(transform: Transform, times: int) -> Transform:
    """A whole power, 1 or more, by squaring: some ten times as quick as by logarithms."""
    power = transform
    for digit in f"{times:b}"[1:]:
        power = power * power
        if digit == "1":
            power *= transform
    return power


def _grid_quantile(law: Law, p: float) -> float:
    """The p quantile in grid steps, each mass spread evenly over the step around its point."""
    below = np.cumsum(law)
    index = min(int(np.searchsorted(below, p)), law.size - 1)
    before = float(below[index] - law[index])
    return index - 0.5 + (p - before) / max(float(law[index]), 1e-300)


def _count_law(places: Places, n: int, block: int, most: int) -> Law:
    """P(count ≤ 0), …, P(count ≤ `most`) for the number of marked places in a resample.

    Counts above `most` of any block cannot lead to a sum of at most `most` and are cut off. With every
    count c weighted by ρ^c, what wraps around a transform of M points is weighted by ρ^M = 1e-12.
    """
    whole, rest = divmod(n, block)
    points = quick_length(4 * (most + 1))
    damping = _WRAPPED ** (np.arange(most + 1) / points)
    counts = _block_counts(places, n, block)[: most + 1] * damping[: block + 1]
    product = _power(fft.rfft(counts, points), whole)
    if rest:
        product *= fft.rfft(_block_counts(places, n, rest)[: most + 1] * damping[: rest + 1], points)
    return np.cumsum(np.asarray(fft.irfft(product, points))[: most + 1] / damping)


def _block_counts(places: Places, n: int, block: int) -> Law:
    """The law (0 to `block`) of the number of marked places in a block that starts anywhere on the circle.

    The number rises where a marked place enters the block and falls where one leaves it; between those
    events it stands for as many starts as lie between them.
    """
    if block == n:
        return np.asarray(np.arange(block + 1) == places.size, dtype=np.float64)
    edges = np.empty(2 * places.size + 2, dtype=np.int64)
    edges[0], edges[-1] = 0, 2 * n
    np.concatenate(((places + 1) % n * 2, (places + n - block + 1) % n * 2 + 1), out=edges[1:-1])
    edges[1:-1].sort()
    changes = 2 * (edges[:-1] & 1) - 1
    changes[0] = np.count_nonzero(places < block - 1) + np.count_nonzero(places == n - 1)  # at the last start
    at = edges >> 1
    law = np.bincount(np.cumsum(changes), weights=at[1:] - at[:-1], minlength=block + 1)
    return np.asarray(law / n)


def _count_spread(places: Places, n: int, block: int) -> float:
    """The standard deviation of the number of marked places in a resample, its last block left out."""
    law = _block_counts(places, n, block)
    counts = np.arange(law.size)
    return math.sqrt(n / block * float(law @ (counts - float(law @ counts)) ** 2))


def _likely_rank(p: float, *, spare: int, spread: float, last: int) -> int:
    """A normal guess at the rank above which no more than `spare` values are drawn with chance p.

    `spread` belongs to `spare` marked values; the count's variance grows as their number does.
    """
    b = _NORMAL.inv_cdf(p) * spread / math.sqrt(spare)
    root = (math.sqrt(b * b + 4 * spare + 2) - b) / 2
    return last - min(max(round(root**2), 0), last)


def _first(
    probability: Callable[[int], float], p: float, ranks: tuple[int, int], *, start: int, stride: float
) -> int:
    """The first of the `ranks` whose probability reaches p; it rises with rank and is 1 at the last.

    On the normal scale the probability is nearly straight in the rank, with a unit every `stride` ranks:
    steps along that line, each bolder, until the rank lies between two known ones, then between these;
    after a few turns by halving, which no shape of the law can slow down.
    """
    (low, high), probe, turn = ranks, start, 0
    z_low = z_high = 0.0
    while low < high:
        probe = min(max(probe, low), high - 1)
        z = _normal(probability(probe)) - _normal(p)
        if z >= 0:
            high, z_high = probe, z
        else:
            low, z_low = probe + 1, z
        turn += 1
        if low == ranks[0] or high == ranks[1]:
            stride *= _BOLDER
            probe -= math.ceil(z * stride) if z >= 0 else math.floor(z * stride)
        elif turn <= _STRAIGHT_TURNS:
            probe = low - 1 + round((high - low + 1) * z_low / (z_low - z_high))
        else:
            probe = (low + high) // 2
    return low


def _normal(p: float) -> float:
    return _NORMAL.inv_cdf(min(max(p, 1e-15), 1 - 1e-15))
