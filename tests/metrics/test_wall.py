"""Watts at the wall are a number of the run, and with its frames they say what a frame costs."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.metrics.definitions import definition
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.metrics.wall import NO_RATE, NOT_READ, WALL_KEYS, with_wall

FRAMES = RunMetrics(values={"average_fps": 80.0}, absent={"low_01pct": "needs 10,000 frames"})
SCORE = RunMetrics(values={"score": 12.4})


def test_watts_over_frames_a_second_are_joules_a_frame():
    found = with_wall(FRAMES, 240.0)
    assert (found.values["wall_w"], found.values["joules_per_frame"]) == (240.0, 3.0)


def test_what_stood_there_before_stays():
    found = with_wall(FRAMES, 240.0)
    assert found.values["average_fps"] == 80.0
    assert found.absent == {"low_01pct": "needs 10,000 frames"}


def test_a_run_without_a_reading_says_so_of_both_numbers():
    assert {key: with_wall(FRAMES, None).absent[key] for key in WALL_KEYS} == dict.fromkeys(
        WALL_KEYS, NOT_READ
    )


def test_a_score_has_watts_and_no_frames_to_share_them_out_to():
    found = with_wall(SCORE, 190.0)
    assert found.values == {"score": 12.4, "wall_w": 190.0}
    assert "joules_per_frame" not in found.absent


def test_a_run_without_a_rate_has_its_watts_alone():
    found = with_wall(RunMetrics(values={"frames": 0.0}), 190.0)
    assert found.values["wall_w"] == 190.0
    assert found.absent["joules_per_frame"] == NO_RATE


@pytest.mark.parametrize("wall_w", [0.0, -3.0, math.nan, math.inf])
def test_watts_that_could_enter_no_ratio_are_absent(wall_w):
    found = with_wall(FRAMES, wall_w)
    assert "wall_w" not in found.values
    assert found.absent["wall_w"].endswith("W at the wall can enter no ratio")


def test_both_are_better_when_they_are_lower():
    assert [(definition(key).better, definition(key).unit) for key in WALL_KEYS] == [
        ("lower", "W"),
        ("lower", "J"),
    ]


@given(st.floats(20, 2000), st.floats(1, 1000))
def test_joules_a_frame_times_frames_a_second_are_the_watts(wall_w, fps):
    found = with_wall(RunMetrics(values={"average_fps": fps}), wall_w)
    assert found.values["joules_per_frame"] * fps == pytest.approx(wall_w)
