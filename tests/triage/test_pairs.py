"""Two takes of one scene, laid over each other."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.records.tests import Direction, Measures, Test
from evenhand.traces.trace import Trace
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.pairs import agreed, pair, pairs_of, pairs_within
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import CellView, look

TEST = Test(
    key="t",
    name="Salt Causeway",
    measures=Measures.FRAMES,
    metric="fps_average",
    unit="fps",
    direction=Direction.HIGHER,
)


def take(name: str, *, from_s: float = 0.0, length_s: float = 40.0, slower: float = 0.0) -> Candidate:
    """A take of one winding scene at about 100 frames a second, begun so far into it."""
    rng = np.random.default_rng(sum(map(ord, name)))
    times, at_s = [], from_s
    while at_s < from_s + length_s:
        course = 0.1 * np.sin(at_s / 2) + 0.05 * np.sin(at_s / 0.7 + 1)
        times.append(10.0 * np.exp(course + slower + 0.02 * rng.standard_normal()))
        at_s += times[-1] / 1000
    return Candidate(id=name, label=name, headline=100.0, trace=Trace(frame_times_ms=np.array(times)))


def cell(*runs: Candidate) -> CellView:
    return look(runs, Company(test=TEST), DEFAULT)


def test_a_slower_take_is_apart_by_as_much_all_along() -> None:
    view = cell(take("a", slower=0.05), take("b"))
    laid = pair(view.runs[0], view.runs[1], view)
    assert laid is not None
    assert laid.level == pytest.approx(0.05, abs=0.01)
    assert laid.lag_s == 0.0
    assert laid.shape < 0.02
    assert laid.agreement > 0.95


def test_a_late_start_is_found_and_taken_out() -> None:
    view = cell(take("a", from_s=3.0), take("b"))
    laid = pair(view.runs[0], view.runs[1], view)
    assert laid is not None
    assert laid.lag_s == pytest.approx(-3.0, abs=0.5)
    assert laid.gain > 0.2
    assert laid.agreement > 0.9


def test_a_pair_seen_from_the_other_side_is_its_mirror() -> None:
    view = cell(take("a", slower=0.05, from_s=2.0), take("b"))
    one, other = view.runs
    there, back = pair(one, other, view), pair(other, one, view)
    assert there is not None
    assert back is not None
    assert (back.run.id, back.other.id) == ("b", "a")
    assert back.level == pytest.approx(-there.level)
    assert back.lag_s == -there.lag_s
    assert back.at_s == pytest.approx(there.at_s - there.lag_s)
    assert back.turned.apart == pytest.approx(there.apart)


def test_a_pair_is_worked_out_once() -> None:
    view = cell(take("a"), take("b"))
    assert pair(view.runs[0], view.runs[1], view) is pair(view.runs[0], view.runs[1], view)


def test_siblings_show_how_much_two_takes_differ_of_themselves() -> None:
    view = cell(take("a"), take("b"), take("c"))
    assert {p.other.id for p in pairs_of(view.runs[0], view)} == {"b", "c"}
    assert [(p.run.id, p.other.id) for p in pairs_within(view.siblings("a"), view)] == [("b", "c")]


def test_runs_too_short_for_a_course_make_no_pair() -> None:
    view = cell(take("a", length_s=2.0), take("b"))
    assert pair(view.runs[0], view.runs[1], view) is None
    assert pairs_of(view.runs[0], view) == []


def test_a_flat_course_agrees_with_nothing_and_divides_by_nothing() -> None:
    flat = [
        Candidate(id=i, label=i, headline=100.0, trace=Trace(frame_times_ms=np.full(2000, 10.0)))
        for i in "ab"
    ]
    laid = pair(*(view := cell(*flat)).runs, view)
    assert laid is not None
    assert (laid.level, laid.shape, laid.agreement, laid.lag_s) == (0.0, 0.0, 0.0, 0.0)


def test_a_run_without_frames_makes_no_pair() -> None:
    view = cell(take("a"), Candidate(id="b", label="b", headline=3.0))
    assert pairs_of(view.runs[0], view) == []


def test_what_all_siblings_say_is_the_least_of_it() -> None:
    assert agreed([-0.05, -0.02]) == -0.02
    assert agreed([0.0, 0.02]) == 0.0
