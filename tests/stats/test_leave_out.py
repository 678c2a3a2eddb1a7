"""Values against the rest of their sample: as taking them out one by one, or two by two, would give."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.stats.leave_out import leave_one_out, leave_two_out

samples = st.lists(st.floats(-5, 5), min_size=3, max_size=9)


@given(samples)
def test_leaving_one_out_is_what_deleting_it_gives(values):
    told = leave_one_out(values)
    for i, value in enumerate(values):
        rest = np.delete(values, i)
        gaps = value - rest
        assert told.gaps[i] == pytest.approx(gaps.mean(), abs=1e-9)
        assert told.variances[i] == pytest.approx(np.var(rest, ddof=1), abs=1e-9)
        one_side = gaps.min() > 0 or gaps.max() < 0
        assert told.nearest[i] == pytest.approx(gaps[np.argmin(np.abs(gaps))] if one_side else 0.0, abs=1e-12)


@given(samples)
def test_leaving_two_out_is_what_deleting_both_gives(values):
    pairs, told = leave_two_out(values)
    assert len(pairs) == len(values) * (len(values) - 1) // 2
    for row, pair in enumerate(pairs):
        rest = np.delete(values, pair)
        for k in (0, 1):
            gaps = values[pair[k]] - rest
            assert told.gaps[row, k] == pytest.approx(gaps.mean(), abs=1e-9)
            variance = np.var(rest, ddof=1) if rest.size > 1 else 0.0
            assert told.variances[row, k] == pytest.approx(variance, abs=1e-9)
            one_side = gaps.min() > 0 or gaps.max() < 0
            nearest = gaps[np.argmin(np.abs(gaps))] if one_side else 0.0
            assert told.nearest[row, k] == pytest.approx(nearest, abs=1e-12)


def test_two_values_leave_one_without_any_variance():
    told = leave_one_out([1.0, 3.0])
    assert (told.rest, told.df, told.variances.tolist()) == (1, 0, [0.0, 0.0])
    assert told.nearest.tolist() == [-2.0, 2.0]


def test_equal_values_are_on_no_side_of_each_other():
    assert leave_one_out([4.0, 4.0, 4.0]).nearest.tolist() == [0.0, 0.0, 0.0]


@pytest.mark.parametrize(("leave", "values"), [(leave_one_out, [1.0]), (leave_two_out, [1.0, 2.0])])
def test_nothing_is_compared_with_nothing(leave, values):
    with pytest.raises(ValueError, match="nothing to compare"):
        leave(values)
