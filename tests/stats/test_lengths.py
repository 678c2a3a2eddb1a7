"""Lengths that a transform is quick for: the same that SciPy names."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import fft

from evenhand.stats.lengths import quick_length


@pytest.mark.parametrize("least", range(1, 300))
def test_small_ones(least: int) -> None:
    assert quick_length(least) == fft.next_fast_len(least, real=True)


@given(st.integers(1, 2**24))
def test_it_is_the_length_that_the_transform_s_own_library_names(least: int) -> None:
    assert quick_length(least) == fft.next_fast_len(least, real=True)
