"""A setup's own rate: geometric mean of its runs, with the t interval that its repeats allow."""

import numpy as np
import pytest
from scipy import stats

from evenhand.findings.finding import Cell, Observation
from evenhand.findings.rates import rate_estimates


def cell(test: str, *values: float) -> Cell:
    runs = tuple(Observation(run=f"{test}{i}", value=v) for i, v in enumerate(values))
    return Cell(test=test, setup="s", metric="average_fps", better="higher", observations=runs)


def test_one_test_alone_has_the_textbook_t_interval_of_its_logs():
    values = [88.1, 87.2, 89.5, 88.8]
    made = rate_estimates([cell("t", *values)], unit="fps")[0]
    logs = np.log(values)
    low, high = stats.t.interval(0.95, 3, loc=logs.mean(), scale=stats.sem(logs))
    assert made is not None
    assert (made.value, made.low, made.high) == pytest.approx(
        (np.exp(logs.mean()), np.exp(low), np.exp(high))
    )
    assert (made.unit, made.n, made.level) == ("fps", 4, 0.95)


def test_tests_lend_each_other_their_spread():
    rng = np.random.default_rng(5)
    cells = [cell(f"t{t}", *(100 * np.exp(rng.normal(0, 0.012, 3)))) for t in range(9)]
    together = rate_estimates(cells, unit="fps")
    alone = [rate_estimates([one], unit="fps")[0] for one in cells]
    widths = [[e.high - e.low for e in made if e and e.high and e.low] for made in (together, alone)]
    assert np.mean(widths[0]) < np.mean(widths[1])


def test_runs_that_no_interval_can_span_still_have_one_to_draw():
    made = rate_estimates([cell("t", 1e-300, 1e300)], unit="points")[0]
    assert made is not None
    assert 0 < made.low < made.value < made.high < np.inf


@pytest.mark.parametrize("value", [1.2e301, 1.7e308, 3e-305])
def test_the_number_is_that_of_its_runs_however_large_or_small(value):
    made = rate_estimates([cell("t", 0.99 * value, value, 1.01 * value)], unit="points")[0]
    assert made is not None
    assert made.value == pytest.approx(value, rel=1e-3)
    assert 0 < made.low < made.value < made.high < np.inf


def test_a_single_run_has_a_number_and_no_interval():
    made = rate_estimates([cell("t", 61.0), cell("u", 60.0, 61.0, 62.0)], unit="fps")[0]
    assert made is not None
    assert (made.value, made.low, made.high, made.n) == (pytest.approx(61.0), None, None, 1)


def test_a_cell_without_runs_has_no_estimate():
    assert rate_estimates([cell("t")], unit="fps") == (None,)
