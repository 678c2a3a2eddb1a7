"""Holm's procedure, against an independent implementation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.multitest import multipletests

from evenhand.stats.families import holm, hypotheses_left

p_values = st.lists(st.floats(0, 1), min_size=1, max_size=20)


@pytest.mark.parametrize("tests", [1, 2, 3, 9, 30])
def test_holm_agrees_with_statsmodels(tests):
    p = np.random.default_rng(tests).random(tests) ** 3
    p[: tests // 3] = p[0]  # ties
    assert holm(p) == pytest.approx(multipletests(p, method="holm")[1])


def test_no_question_has_no_answer():
    assert holm([]).size == 0


@given(p_values)
def test_the_smallest_p_is_multiplied_by_all_the_largest_by_those_equal_to_it(p):
    left = hypotheses_left(p)
    assert left[int(np.argmin(p))] == len(p)
    assert left[int(np.argmax(p))] == sum(x == max(p) for x in p)
