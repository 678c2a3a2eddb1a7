"""Medians of rows of numbers, without the detours that a median of any shape has to make."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def median(values: Floats) -> float:
    """The median; NaN where any value is NaN, or where there is none.

    `values`: shape (n,). The very number that `np.median` gives: the middle value, or the mean of the middle
    two. One selection finds the upper of them; the lower one is the largest of what lies before it.

    >>> median(np.array([3.0, 1.0, 2.0])), median(np.array([4.0, 1.0, 3.0, 2.0])), median(np.empty(0))
    (2.0, 2.5, nan)
    """
    return median_of_own(values.copy())


def median_of_own(values: Floats) -> float:
    """As `median`, of an array that nobody else looks at: it is put in another order.

    >>> median_of_own(np.array([3.0, 1.0, 2.0]))
    2.0
    """
    if not values.size:
        return math.nan
    middle, ordered = values.size // 2, values
    ordered.partition(middle)
    upper = ordered[middle:]
    if np.isnan(upper.max()):  # a NaN is sorted behind all numbers
        return math.nan
    if values.size % 2:
        return float(upper[0])
    return float((ordered[:middle].max() + upper[0]) / 2)


def medians(values: Floats) -> Floats:
    """The median of each row; shape (k, n) in, (k,) out. NaN where a row holds one; n at least one.

    >>> medians(np.array([[3.0, 1.0, 2.0], [4.0, np.nan, 6.0]])).tolist()
    [2.0, nan]
    """
    middle = values.shape[1] // 2
    ordered = np.partition(values, middle, axis=1)
    told = ordered[:, middle]
    if not values.shape[1] % 2:
        told = (ordered[:, :middle].max(axis=1) + told) / 2
    unknown = np.isnan(ordered[:, middle:].max(axis=1))
    return np.where(unknown, np.nan, told)


def medians_known(values: Floats) -> Floats:
    """The median of what is known in each column; shape (n, k) in, (k,) out. NaN is what is not known.

    NaN for a column of which nothing is known. The very numbers that `np.nanmedian` gives.

    >>> medians_known(np.array([[3.0, np.nan, 1.0], [1.0, np.nan, np.nan], [2.0, np.nan, 4.0]])).tolist()
    [2.0, nan, 2.5]
    """
    ordered = np.sort(values, axis=0)  # a NaN is sorted behind all numbers
    count = values.shape[0] - np.isnan(values).sum(axis=0)
    columns = np.arange(values.shape[1])
    return np.asarray((ordered[(count - 1) // 2, columns] + ordered[count // 2, columns]) / 2)
