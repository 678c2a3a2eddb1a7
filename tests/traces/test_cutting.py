"""A trace cut to its measured window: which frames, and which readings of the sensors beside them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.records.layouts import Role
from evenhand.records.windows import Window
from evenhand.traces.cutting import begins_of, begins_s, cut, cut_sensors, length_s
from evenhand.traces.trace import Channel, Flaw, SensorLog, Trace

FRAME_MS = st.floats(0.5, 500.0) | st.sampled_from([np.nan, 0.0, -3.0, np.inf])
TRACES = st.lists(FRAME_MS, min_size=1, max_size=80).map(lambda ms: Trace(frame_times_ms=np.array(ms)))
SECONDS = st.floats(0.001, 20.0)


def told(trace: Trace) -> list[float]:
    return [float(ms) for ms in np.nan_to_num(trace.frame_times_ms, nan=-1.0, posinf=-2.0)]


@given(TRACES, SECONDS)
def test_windows_that_adjoin_share_out_every_frame_once(trace: Trace, at_s: float) -> None:
    before, after = cut(trace, Window(end_s=at_s)), cut(trace, Window(start_s=at_s))
    assert told(before) + told(after) == told(trace)


@given(TRACES, SECONDS, SECONDS)
def test_what_is_kept_begins_inside_and_stands_as_logged(trace: Trace, start_s: float, more_s: float) -> None:
    window = Window(start_s=start_s, end_s=start_s + more_s)
    inside = [window.holds(float(at)) for at in begins_of(trace)]
    kept = cut(trace, window)
    assert told(kept) == [ms for ms, held in zip(told(trace), inside, strict=True) if held]
    longest = np.nanmax(np.where(np.isfinite(trace.frame_times_ms), trace.frame_times_ms, 0.0), initial=0.0)
    assert length_s(kept) <= more_s + longest / 1000 + 1e-9


@given(TRACES)
def test_the_whole_log_is_left_as_it_is(trace: Trace) -> None:
    assert cut(trace, Window()) is trace
    assert told(cut(trace, Window(end_s=length_s(trace) + 1))) == told(trace)


@given(TRACES, SECONDS, SECONDS)
def test_cutting_twice_alike_from_the_start_is_cutting_once(
    trace: Trace, one_s: float, other_s: float
) -> None:
    shorter = Window(end_s=min(one_s, other_s))
    assert told(cut(cut(trace, Window(end_s=max(one_s, other_s))), shorter)) == told(cut(trace, shorter))


def test_whatever_stands_beside_the_frames_is_cut_with_them() -> None:
    trace = Trace(
        frame_times_ms=np.full(10, 100.0),
        elapsed_s=np.arange(10) / 10,
        processor_ms=np.arange(10.0),
        graphics_ms=np.arange(10.0) + 50,
        flaws=(Flaw(kind="gap", detail="2 s", line=7),),
    )
    part = cut(trace, Window(start_s=0.3, end_s=0.6))
    assert part.elapsed_s is not None
    assert part.processor_ms is not None
    assert part.graphics_ms is not None
    assert part.processor_ms.tolist() == [3, 4, 5]
    assert part.graphics_ms.tolist() == [53, 54, 55]
    assert part.elapsed_s.tolist() == pytest.approx([0.3, 0.4, 0.5])
    assert part.flaws == trace.flaws


def test_a_long_frame_that_begins_inside_is_kept_whole() -> None:
    trace = Trace(frame_times_ms=np.array([100.0, 100.0, 900.0, 100.0]))
    assert cut(trace, Window(end_s=0.3)).frame_times_ms.tolist() == [100.0, 100.0, 900.0]


SENSORS = SensorLog(
    time_s=np.arange(11.0),
    channels=(Channel(role=Role.POWER, about="board", unit="W", values=np.arange(11.0) * 10),),
)
TEN_SECONDS = Trace(frame_times_ms=np.full(100, 100.0))


def test_readings_are_cut_beside_the_frames_and_count_from_the_first_one_measured() -> None:
    part = cut_sensors(SENSORS, TEN_SECONDS, Window(start_s=3.0, end_s=6.0))
    assert part.time_s.tolist() == pytest.approx([0, 1, 2, 3])
    assert part.channels[0].values.tolist() == [30, 40, 50, 60]


def test_without_an_end_readings_go_on_to_the_end_of_the_log() -> None:
    assert cut_sensors(SENSORS, TEN_SECONDS, Window(start_s=8.0)).time_s.tolist() == pytest.approx([0, 1, 2])
    assert cut_sensors(SENSORS, TEN_SECONDS, Window()) is SENSORS


def test_a_window_that_begins_within_a_frame_begins_with_the_next() -> None:
    assert begins_s(TEN_SECONDS, Window(start_s=2.95)) == pytest.approx(3.0)
    assert begins_s(TEN_SECONDS, Window(start_s=50.0)) == 50.0
