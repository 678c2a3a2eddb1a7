"""A series that should stay level: limits from what came before, and a drift along the whole."""

import numpy as np
import pytest
from scipy import stats

from evenhand.stats.charts import FALSE_ALARM, drift, self_started


def test_three_values_set_no_limits_a_fourth_is_judged():
    seen = self_started([0.0, 0.01, -0.01, 0.002])
    assert [judged.low is not None for judged in seen] == [False, False, False, True]


def test_a_value_that_belongs_is_outside_as_rarely_as_said():
    rng = np.random.default_rng(20)
    last = [self_started(rng.standard_normal(5))[-1] for _ in range(8000)]
    judged = [j.outside for j in last]
    assert np.mean(judged) == pytest.approx(FALSE_ALARM, abs=4 * np.sqrt(FALSE_ALARM / 8000))


def test_a_value_outside_does_not_widen_the_limits_of_the_next():
    level = [0.0, 0.01, -0.01, 0.005, 0.0]
    far = self_started([*level, 5.0, 0.0])
    assert far[5].outside
    assert far[6].high == far[5].high


def test_the_drift_is_that_of_a_regression():
    t = np.array([0.0, 1.0, 2.5, 4.0, 7.0])
    y = np.array([0.1, 0.13, 0.12, 0.2, 0.22])
    theirs = stats.linregress(t, y)
    ours = drift(y, t)
    assert (ours.slope, ours.p) == pytest.approx((theirs.slope, theirs.pvalue))
    assert (ours.low + ours.high) / 2 == pytest.approx(ours.slope)


@pytest.mark.parametrize(("y", "t"), [([0.0, 1.0, 2.0], [0, 1, 2]), ([0.0, 1.0, 0.0, 1.0], [3, 3, 3, 3])])
def test_too_few_values_or_one_day_show_no_drift(y, t):
    assert drift(y, t) is None
