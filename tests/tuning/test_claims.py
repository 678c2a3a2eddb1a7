"""What hours claim holds as often as it says, and no more is claimed than hours bear."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from evenhand.records.trials import Outcome, Trial
from evenhand.stats.counts import most_of_rate
from evenhand.tuning.claims import claim, hours_to_claim


def trial(
    hours: float, outcome: Outcome = Outcome.PASSED, *, errors: int = 0, room: float | None = 24.0
) -> Trial:
    return Trial(
        setup="a", part="processor", clock_mhz=5000, voltage_mv=1200, load="integers", hours=hours,
        outcome=outcome, errors=errors, room_c=room,
    )  # fmt: skip


def test_a_day_without_a_failure_shows_one_in_eight_hours_and_no_better() -> None:
    told = claim([trial(24.0)])
    assert told.most_per_h == pytest.approx(0.125, abs=5e-4)
    assert told.fewer_than_one_in_h == pytest.approx(8.0, abs=0.02)


def test_a_hundredth_an_hour_needs_three_hundred_hours() -> None:
    assert hours_to_claim(0.01, claim([])) == pytest.approx(299.6, abs=0.1)
    assert hours_to_claim(0.01, claim([trial(24.0)])) == pytest.approx(275.6, abs=0.1)
    assert hours_to_claim(0.2, claim([trial(24.0)])) == 0


def test_hours_add_up_and_every_failure_counts() -> None:
    told = claim([trial(3.0), trial(2.0, Outcome.CRASH), trial(1.0, Outcome.ERROR, errors=3)])
    assert (told.hours, told.failures, told.trials) == (6.0, 4, 3)


def test_what_was_throttled_or_stopped_counts_with_its_hours_and_no_failure() -> None:
    told = claim([trial(3.0, Outcome.THROTTLED), trial(2.0, Outcome.STOPPED)])
    assert (told.hours, told.failures) == (5.0, 0)


def test_rooms_are_told_and_those_that_nobody_read_are_counted() -> None:
    told = claim([trial(1, room=22.5), trial(1, room=27.0), trial(1, room=None)])
    assert (told.rooms_c, told.unread_rooms) == ((22.5, 27.0), 1)


def test_no_hours_claim_nothing() -> None:
    assert claim([]).most_per_h == math.inf


@pytest.mark.parametrize("failures", range(6))
def test_the_bound_is_the_quantile_of_chi_squared(failures: int) -> None:
    expected = stats.chi2.ppf(0.95, 2 * failures + 2) / (2 * 40.0)
    assert most_of_rate(failures, 40.0) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("failures", range(6))
def test_rates_at_the_bound_give_so_few_failures_at_most_one_time_in_twenty(failures: int) -> None:
    bound = most_of_rate(failures, 40.0)
    seen = np.random.default_rng(failures).poisson(bound * 40.0, 200_000)
    assert np.mean(seen > failures) == pytest.approx(0.95, abs=0.002)


@pytest.mark.parametrize("expected", [0.2, 0.7, 1.5, 3.0, 5.0])
def test_the_true_rate_lies_under_the_bound_in_945_of_1000_days_at_least(expected: float) -> None:
    hours = 24.0
    seen = np.random.default_rng(5).poisson(expected, 20_000)
    under = [most_of_rate(int(k), hours) >= expected / hours for k in seen]
    assert np.mean(under) >= 0.945
