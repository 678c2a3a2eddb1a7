"""How many more runs would settle a question."""

import math
from dataclasses import replace

import pytest
from scipy import stats

from evenhand.stats.settle import Question, more_runs

OPEN = Question(d=0.015, var_a=2e-4, var_b=2e-4, n_a=3, n_b=3, margin=math.log1p(0.03), alpha=0.05)


def is_settled(q, n):
    se, df = math.sqrt((q.var_a + q.var_b) / n), 2 * n - 2 + q.prior_df
    level = abs(q.d) + stats.t.ppf(0.95, df) * se + q.allowance < q.margin
    ahead = 2 * stats.t.sf((abs(q.d) - q.allowance) / se, df) * q.hypotheses < q.alpha
    return level or ahead


@pytest.mark.parametrize("d", [0.0, 0.01, 0.02, 0.03, 0.04, -0.04])
@pytest.mark.parametrize("allowance", [0.0, 0.01])
@pytest.mark.parametrize("hypotheses", [1, 9])
def test_the_answer_is_the_first_number_of_runs_that_settles(d, allowance, hypotheses):
    q = replace(OPEN, d=d, allowance=allowance, hypotheses=hypotheses)
    first = next((n - 3 for n in range(4, 13) if is_settled(q, n)), None)
    assert more_runs(q) == first


def test_past_twelve_runs_a_side_there_is_no_promise():
    assert more_runs(replace(OPEN, var_a=4e-3, var_b=4e-3)) is None
    assert more_runs(replace(OPEN, n_a=12, n_b=12)) is None


def test_a_difference_near_the_margin_settles_later_than_one_far_from_it():
    assert more_runs(replace(OPEN, d=0.0)) < more_runs(OPEN)
    many = replace(OPEN, hypotheses=9)
    assert more_runs(replace(many, d=0.06)) < more_runs(replace(many, d=0.035))


def test_the_sign_of_the_difference_does_not_matter():
    assert more_runs(OPEN) == more_runs(replace(OPEN, d=-OPEN.d))


def test_welch_asks_for_more_runs_where_all_noise_is_on_one_side():
    pooled = replace(OPEN, var_a=4e-4, var_b=0.0)
    assert more_runs(replace(pooled, welch=True)) >= more_runs(pooled)
