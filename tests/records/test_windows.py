"""A measured window: what it holds, and what is none."""

from __future__ import annotations

import math

import pytest

from evenhand.errors import BadRecord
from evenhand.records.windows import WHOLE, Window, standing

CUT = Window(start_s=5.0, end_s=65.0)
OWN = Window(end_s=50.0, reason="a message came up at 50 s")


@pytest.mark.parametrize(
    ("start_s", "end_s"),
    [(5.0, 5.0), (6.0, 5.0), (0.0, 0.0), (math.nan, None), (0.0, math.inf)],
)
def test_times_between_which_nothing_lies_are_refused(start_s: float, end_s: float | None) -> None:
    with pytest.raises(BadRecord, match="nothing lies between"):
        Window(start_s=start_s, end_s=end_s)


def test_a_time_before_the_beginning_is_refused_as_that() -> None:
    with pytest.raises(BadRecord, match="-3 s is before the beginning of a log"):
        Window(start_s=-3.0)


def test_a_frame_that_begins_at_the_end_belongs_to_the_next_window() -> None:
    assert CUT.holds(5.0)
    assert not CUT.holds(65.0)
    assert Window(start_s=65.0).holds(65.0)


def test_a_run_of_its_own_window_is_not_measured_in_that_of_its_test() -> None:
    assert standing(CUT, OWN) == OWN
    assert standing(CUT, None) == CUT
    assert standing(None, None) == WHOLE
    assert WHOLE.whole


def test_windows_cut_alike_whoever_cut_and_why() -> None:
    assert CUT.cuts_like(Window(start_s=5.0, end_s=65.0, reason="it loads", by="Ada"))
    assert Window(reason="all of it counts here").cuts_like(None)
    assert not CUT.cuts_like(OWN)
