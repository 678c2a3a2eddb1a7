"""Stretches of a run in which it loses time: moving means of its distance to a sibling along the scene."""

from __future__ import annotations

import math

import numpy as np

from evenhand.triage.curves import Floats
from evenhand.triage.limits.course_kinds import StretchLimits
from evenhand.triage.pairs import Pair


def swings(apart: Floats, bin_s: float, limits: StretchLimits) -> tuple[Floats, Floats]:
    """How far the distance of a pair about its level swings: rms and largest moving mean; shapes (w,).

    One for each window of the limits, 0 for windows that are too long for these takes.
    """
    sums = np.concatenate(([0.0], np.cumsum(apart)))
    rms, worst = np.zeros(len(limits.windows_s)), np.zeros(len(limits.windows_s))
    for k, size in enumerate(sizes(limits, bin_s)):
        if size <= limits.most_share * apart.size:
            means = (sums[size:] - sums[:-size]) / size
            rms[k], worst[k] = math.sqrt(means @ means / means.size), np.abs(means).max()
    return rms, worst


def sizes(limits: StretchLimits, bin_s: float) -> list[int]:
    """Each window in bins, at least two."""
    return [max(2, round(window / bin_s)) for window in limits.windows_s]


def on_grid(pair: Pair, bin_s: float, count: int) -> Floats:
    """Distance of a pair about its level in `count` bins of the run's own time; NaN where it is not known.

    Bins that long frames fill are unknown, and so is what the sibling never reached.
    """
    told = np.full(count, np.nan)
    if not pair.at_s.size:
        return told
    middles: Floats = bin_s * (np.arange(count, dtype=float) + 0.5)
    at_s: Floats = pair.at_s + pair.bin_s / 2
    after = np.searchsorted(at_s, middles).clip(0, at_s.size - 1)
    before = (after - 1).clip(0)
    near = np.minimum(np.abs(at_s[after] - middles), np.abs(at_s[before] - middles)) <= 0.75 * pair.bin_s
    told[near] = np.interp(middles[near], at_s, pair.apart - pair.level)
    return told


def moving_means(values: Floats, size: int, *, least_known: float) -> Floats:
    """Mean over each window of `size` bins along the last axis; NaN where too few of them are known.

    >>> moving_means(np.array([1.0, 3.0, np.nan, 5.0]), 2, least_known=0.5).tolist()
    [2.0, 3.0, 5.0]
    """
    return means_over(running(values), size, least_known=least_known)


def running(values: Floats) -> Floats:
    """How many values are known up to each place along the last axis, and their sum; shape (2, …, n + 1)."""
    known = np.isfinite(values)
    sums = np.zeros((2, *values.shape[:-1], values.shape[-1] + 1))
    np.cumsum([known, np.where(known, values, 0.0)], axis=-1, out=sums[..., 1:])
    return sums


def means_over(sums: Floats, size: int, *, least_known: float) -> Floats:
    """The same moving means, from running counts and sums."""
    counts, totals = sums[..., size:] - sums[..., : max(0, sums.shape[-1] - size)]
    told = np.full(counts.shape, np.nan)
    np.divide(totals, counts, out=told, where=counts >= max(1.0, least_known * size))
    return told


def agreed_along(means: Floats, witnesses: int) -> Floats:
    """The least of all known siblings at each place; −inf where fewer than `witnesses` know it.

    `means`: shape (siblings, windows); the result (windows,).
    """
    known = np.isfinite(means)
    least = np.where(known, means, np.inf).min(axis=0)
    return np.where(known.sum(axis=0) >= witnesses, least, -np.inf)


def departure(apart: Floats, window: tuple[int, int], half: float) -> tuple[int, int]:
    """From which bin to which a course departs about a window: where it stays above half, all in all.

    Each end is where the sum of what lies above `half` is largest, the likeliest place of a step among noise
    (Page 1954): one bin that falls below it ends nothing. Unknown bins count for neither side.

    >>> departure(np.array([0.0, 0.1, 0.1, 0.04, 0.1, 0.1, 0.0, 0.09]), (4, 6), 0.05)
    (1, 6)
    """
    above = np.where(np.isfinite(apart), apart - half, 0.0)
    middle = (window[0] + window[1]) // 2
    before, after = np.cumsum(above[:middle][::-1])[::-1], np.cumsum(above[middle:])
    start = int(np.argmax(before)) if before.size else middle
    end = middle + after.size - int(np.argmax(after[::-1])) if after.size else middle
    return start, end
