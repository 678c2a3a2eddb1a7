"""The median of one row, held against numpy's to the last bit."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from evenhand.stats.medians import median, medians_known

TABLES = arrays(
    np.float64,
    st.tuples(st.integers(1, 12), st.integers(1, 9)),
    elements=st.one_of(st.floats(-1e6, 1e6, width=64), st.just(math.nan)),
)
ROWS = arrays(np.float64, st.integers(1, 60), elements=st.floats(-1e6, 1e6, width=64))


@given(ROWS)
def test_it_is_the_very_number_that_numpy_gives(values: np.ndarray) -> None:
    assert median(values) == np.median(values)


@given(TABLES)
@pytest.mark.filterwarnings("ignore:All-NaN slice")
def test_what_is_known_in_columns_has_the_median_that_numpy_gives(values: np.ndarray) -> None:
    assert np.array_equal(medians_known(values), np.nanmedian(values, axis=0), equal_nan=True)


@pytest.mark.parametrize("size", [12_229, 12_230])
def test_a_whole_run_has_the_same_median_to_the_last_bit(size: int) -> None:
    values = np.random.default_rng(size).lognormal(2, 0.3, size)
    assert median(values) == np.median(values)


@pytest.mark.parametrize("size", [1, 2, 3, 10, 11])
@pytest.mark.parametrize("at", [0, -1])
def test_one_unknown_value_leaves_the_median_unknown(size: int, at: int) -> None:
    values = np.arange(size, dtype=float)
    values[at] = np.nan
    assert math.isnan(median(values))


def test_what_has_no_values_has_no_median() -> None:
    assert math.isnan(median(np.empty(0)))


def test_values_without_end_are_numbers_too() -> None:
    assert median(np.array([1.0, np.inf, np.inf])) == math.inf
