"""One run into numbers: answers worked out by hand, and what must not change them."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evenhand.errors import BadRecord
from evenhand.metrics.definitions import DEFINITIONS, definition
from evenhand.metrics.frames import measure, usable_frames
from evenhand.traces.trace import Trace


def trace(*frame_times_ms: float) -> Trace:
    return Trace(frame_times_ms=np.array(frame_times_ms, dtype=np.float64))


def values(frame_times_ms: object) -> dict[str, float]:
    return dict(measure(Trace(frame_times_ms=np.asarray(frame_times_ms, dtype=np.float64))).values)


def test_the_average_is_frames_over_time_and_not_the_mean_of_rates() -> None:
    # 305 frames of 10 ms and 695 of 18.194 ms: 15.695 ms a frame, 63.7 frames a second.
    x = np.r_[np.full(305, 10.0), np.full(695, 18.194)]
    assert np.mean(1000 / x) == pytest.approx(68.7, abs=0.05)  # what a mean of instantaneous rates would say
    assert values(x)["average_fps"] == pytest.approx(63.7, abs=0.05)
    assert values(x)["average_fps"] == pytest.approx(1000 * 1000 / (305 * 10 + 695 * 18.194), rel=1e-12)


def test_lows_of_the_frame_times_one_to_a_hundred() -> None:
    told = values(np.random.default_rng(0).permutation(np.arange(1.0, 101.0)))
    # place (100 − 1)·0.99 = 98.01 from zero: between 99 and 100
    assert told["low_1pct"] == pytest.approx(1000 / 99.01, rel=1e-12)
    assert told["low_1pct_slowest_mean"] == pytest.approx(1000 / 100, rel=1e-12)
    # one percent of 5050 ms is 50.5 ms, which the slowest frame alone fills
    assert told["low_1pct_time_weighted"] == pytest.approx(10.0, rel=1e-12)
    assert told["minimum_fps"] == pytest.approx(10.0, rel=1e-12)


def test_the_slowest_percent_is_rounded_up() -> None:
    x = np.full(150, 10.0)
    x[[3, 70]] = 40.0, 20.0
    assert values(x)["low_1pct_slowest_mean"] == pytest.approx(1000 / 30)
    # 0.01 · 700 is a hair above 7 in binary; the slowest seven are meant
    x = np.full(700, 10.0)
    x[:7] = 50.0
    assert values(x)["low_1pct_slowest_mean"] == pytest.approx(20.0)


def test_the_low_by_time_goes_down_the_slow_frames_until_a_percent_of_the_time_is_filled() -> None:
    x = np.full(1000, 10.0)
    x[:4] = 60.0, 30.0, 25.0, 20.0  # total 10,095 ms, one percent 100.95: 60 + 30 + 25 fill it
    assert values(x)["low_1pct_time_weighted"] == pytest.approx(40.0)


def test_percentiles_are_numpys_linear_ones_at_every_length() -> None:
    rng = np.random.default_rng(1)
    for n in (100, 101, 102, 150, 199, 200, 201, 1000, 10_000, 10_001, 12_345):
        x = rng.lognormal(2.5, 0.4, n)
        told = values(x)
        assert told["low_1pct"] == pytest.approx(1000 / np.quantile(x, 0.99), rel=1e-12)
        assert told["pacing_median_ms"] == pytest.approx(np.median(np.abs(np.diff(x))), rel=1e-12)
        assert told["pacing_p99_ms"] == pytest.approx(np.quantile(np.abs(np.diff(x)), 0.99), rel=1e-12)
        assert ("low_01pct" in told) == (n >= 10_000)
        if n >= 10_000:
            assert told["low_01pct"] == pytest.approx(1000 / np.quantile(x, 0.999), rel=1e-12)


def test_hitches_are_counted_per_minute_and_weighed_by_time() -> None:
    x = np.full(3000, 10.0)
    x[1000] = 100.0
    x[2000:2002] = 50.0  # one interruption over two frames
    total_ms = 2997 * 10 + 100 + 2 * 50
    told = values(x)
    assert told["hitches"] == 2
    assert told["hitches_per_min"] == pytest.approx(2 / (total_ms / 60_000))
    assert told["stutter_share_pct"] == pytest.approx(100 * 200 / total_ms)


def test_time_over_a_budget_is_weighed_by_time() -> None:
    told = values([10.0, 15.0, 20.0, 40.0])
    assert told["over_16_7_ms_pct"] == pytest.approx(100 * 60 / 85)
    assert told["over_33_3_ms_pct"] == pytest.approx(100 * 40 / 85)


def test_a_rate_held_at_the_budget_is_within_it() -> None:
    assert values([16.6668, 16.667, 16.7])["over_16_7_ms_pct"] == 0
    assert values([16.8, 33.3])["over_16_7_ms_pct"] == 100
    assert values([33.3334, 33.34])["over_33_3_ms_pct"] == 0


def test_other_budgets_have_other_keys_each_with_its_definition() -> None:
    run = measure(trace(5.0, 10.0), budgets_ms=[1000 / 144])
    assert run.values["over_6_944_ms_pct"] == pytest.approx(100 * 10 / 15)
    assert "over_16_7_ms_pct" not in run.values
    assert "6.944 ms" in definition("over_6_944_ms_pct").meaning
    with pytest.raises(BadRecord, match="no frame time budget"):
        measure(trace(5.0), budgets_ms=[math.nan])


def test_pacing_of_a_short_run_by_hand() -> None:
    told = values([10.0, 12.0, 9.0, 9.0])  # neighbours differ by 2, 3 and 0
    assert told["pacing_median_ms"] == pytest.approx(2.0)
    assert told["pacing_p99_ms"] == pytest.approx(2.98)  # place 1.98 between 2 and 3


def test_flawed_frames_are_left_out_and_counted() -> None:
    run = measure(trace(10.0, math.nan, 0.0, -4.0, math.inf, 30.0))
    assert run.values["frames"] == 2
    assert run.values["frames_left_out"] == 4
    assert run.values["average_fps"] == pytest.approx(50.0)
    assert run.values["duration_s"] == pytest.approx(0.04)
    assert usable_frames(trace(10.0, math.nan, 30.0)).tolist() == [10.0, 30.0]


def test_a_gap_in_the_log_makes_no_neighbours() -> None:
    run = measure(trace(10.0, 11.0, math.nan, 50.0, 51.0))
    assert run.values["pacing_median_ms"] == pytest.approx(1.0)
    run = measure(trace(10.0, math.inf, 50.0))
    assert run.absent["pacing_median_ms"] == "needs two neighbouring frames; the run has 2"


def test_what_a_run_cannot_carry_is_absent_with_its_reason() -> None:
    one = measure(trace(20.0))
    assert one.values["average_fps"] == pytest.approx(50.0)
    assert one.absent["low_1pct"] == "needs 100 frames; the run has 1"
    assert one.absent["low_01pct"] == "needs 10,000 frames; the run has 1"
    none = measure(trace(math.nan))
    assert none.values == {"frames": 0.0, "frames_left_out": 1.0, "duration_s": 0.0}
    assert none.absent["average_fps"] == "needs a usable frame; the run has 0"
    assert measure(trace()).values["frames"] == 0


@pytest.mark.parametrize("n", [0, 1, 2, 99, 100, 10_000])
def test_every_definition_of_a_frame_run_is_either_a_value_or_absent(n: int) -> None:
    run = measure(Trace(frame_times_ms=np.full(n, 8.0)))
    assert set(run.values) | set(run.absent) == set(DEFINITIONS) - {"score", "wall_w", "joules_per_frame"}
    assert not set(run.values) & set(run.absent)
    assert all(math.isfinite(v) for v in run.values.values())


runs = st.builds(
    lambda seed, n, spread: np.random.default_rng(seed).lognormal(2.3, spread, n),
    st.integers(0, 2**32 - 1),
    st.integers(100, 900),
    st.floats(0.01, 1.0),
)
RATES = ("average_fps", "low_1pct", "low_1pct_slowest_mean", "low_1pct_time_weighted", "minimum_fps")


@settings(max_examples=60, deadline=None)
@given(runs, st.floats(0.2, 5.0))
def test_slower_time_slows_every_rate_alike(x: np.ndarray, factor: float) -> None:
    before, after = values(x), values(x * factor)
    for key in RATES:
        assert after[key] == pytest.approx(before[key] / factor, rel=1e-9)
    for key in ("pacing_median_ms", "pacing_p99_ms", "duration_s"):
        assert after[key] == pytest.approx(before[key] * factor, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(runs)
def test_a_run_after_itself_says_what_it_said(x: np.ndarray) -> None:
    once, twice = values(x), values(np.r_[x, x])
    for key in ("average_fps", "minimum_fps", "low_1pct_time_weighted", "over_16_7_ms_pct"):
        assert twice[key] == pytest.approx(once[key], rel=1e-9)
    assert twice["duration_s"] == pytest.approx(2 * once["duration_s"])
    assert twice["frames"] == 2 * once["frames"]


@settings(max_examples=60, deadline=None)
@given(runs, st.randoms(use_true_random=False))
def test_the_order_of_frames_matters_to_pacing_and_hitches_alone(x: np.ndarray, random: object) -> None:
    shuffled = x.copy()
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    before, after = values(x), values(shuffled)
    for key in (*RATES, "over_33_3_ms_pct", "duration_s"):
        assert after[key] == pytest.approx(before[key], rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(runs)
def test_lows_lie_between_the_slowest_frame_and_the_last_of_the_slowest_percent(x: np.ndarray) -> None:
    told = values(x)
    last_of_slowest = 1000 / np.sort(x)[-math.ceil(x.size / 100)]
    for key in ("low_1pct_slowest_mean", "low_1pct_time_weighted"):
        assert told["minimum_fps"] <= told[key] * (1 + 1e-12)
        assert told[key] <= last_of_slowest * (1 + 1e-12)
    assert 0 <= told["stutter_share_pct"] <= 100
    assert told["over_33_3_ms_pct"] <= told["over_16_7_ms_pct"] <= 100 + 1e-9
