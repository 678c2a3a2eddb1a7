"""What good runs teach, added up over studies."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.triage.cells import GAME, cell, run, scores, take

from evenhand.records.faults import Fault, Severity
from evenhand.traces.trace import Trace
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.learned import NOTHING, Known
from evenhand.triage.lessons import Lesson, Sum, learned_from, lesson_of, vouches
from evenhand.triage.limits.learning import LearningLimits
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import CellView, look

LIMITS = LearningLimits()


def view_of(*runs: Candidate) -> CellView:
    return look(runs, Company(test=GAME), DEFAULT)


def with_hitches(seed: int, count: int) -> Candidate:
    times = take(seed)
    times[200 : 200 + 50 * count : 50] *= 6
    return run(str(seed), times)


def test_spread_is_the_sum_of_squares_of_log_headlines_and_its_degrees_of_freedom() -> None:
    told = lesson_of(view_of(*scores(100.0, 102.0, 99.0)))
    assert told.spread.total == pytest.approx(np.var(np.log([100, 102, 99])) * 3)
    assert told.spread.weight == 2.0
    assert told.runs == 3


def fault(kind: str, severity: Severity) -> Fault:
    return Fault(kind=kind, title="", severity=severity, evidence="", todo="")


@pytest.mark.parametrize(
    "kind", ["odd-level", "slow-sag", "slow-stretch", "late-start", "length", "extra-hitches"]
)
def test_a_run_that_is_noted_as_odd_does_not_tell_how_good_runs_differ(kind: str) -> None:
    assert not vouches((fault(kind, Severity.NOTE),))


def test_a_note_that_says_nothing_of_a_runs_number_leaves_it_a_witness() -> None:
    assert vouches((fault("rate-cap", Severity.NOTE), fault("twin", Severity.NOTE)))
    assert not vouches((fault("rate-cap", Severity.IN_DOUBT),))


def test_a_held_run_teaches_nothing() -> None:
    whole = view_of(*scores(100.0, 102.0, 150.0))
    doubt = Fault(kind="odd-level", title="", severity=Severity.IN_DOUBT, evidence="", todo="")
    told = lesson_of(whole.with_found([("3", doubt)]))
    assert told.spread == lesson_of(view_of(*scores(100.0, 102.0))).spread


def test_one_run_teaches_nothing_about_differences() -> None:
    assert lesson_of(view_of(*scores(100.0))) == Lesson()


def test_shape_and_sag_come_from_pairs() -> None:
    told = lesson_of(view_of(*cell(4)))
    assert told.shape.weight == told.sag.weight == 6.0
    assert 0.0005 < math.exp(told.shape.total / told.shape.weight) < 0.02


def test_hitches_are_counted_with_the_minutes_watched() -> None:
    told = lesson_of(view_of(with_hitches(1, 4), with_hitches(2, 6)))
    assert told.hitches.total == 10.0
    assert told.hitches.weight == pytest.approx(1.0, rel=0.05)


def test_counts_that_scatter_no_more_than_chance_show_no_excess() -> None:
    rng = np.random.default_rng(5)
    lessons = [lesson_of(view_of(*(with_hitches(int(s), int(rng.poisson(6))) for s in pair)))
               for pair in np.arange(80).reshape(40, 2)]  # fmt: skip
    told = learned_from(lessons, LearningLimits(most_weight=1000.0))
    assert told.hitch_excess.value < 0.1
    assert told.hitches.value == pytest.approx(12.0, rel=0.15)


def test_counts_that_scatter_more_than_chance_show_it() -> None:
    told = learned_from([lesson_of(view_of(with_hitches(1, 1), with_hitches(2, 20)))], LIMITS)
    assert told.hitch_excess.value > 0.3


def test_lessons_add_up_over_studies_whatever_their_order() -> None:
    one, other = lesson_of(view_of(*cell(3))), lesson_of(view_of(*scores(100.0, 101.0)))
    assert learned_from([one, other], LIMITS) == learned_from([other, one], LIMITS)
    assert learned_from([one, other], LIMITS).studies == 2


def test_the_past_never_weighs_more_than_its_limit() -> None:
    many = [Lesson(runs=5, spread=Sum(total=0.0004, weight=4.0))] * 500
    told = learned_from(many, LIMITS)
    assert told.spread == Known(value=pytest.approx(0.0001), weight=LIMITS.most_weight)
    assert told.runs == 2500


def test_nothing_on_record_teaches_nothing() -> None:
    assert learned_from([], LIMITS) == learned_from([Lesson()], LIMITS) == NOTHING


@pytest.mark.parametrize("frames", [0, 1, 2, 10])
def test_runs_of_hardly_any_frames_teach_without_harm(frames: int) -> None:
    runs = [
        Candidate(id=i, label=i, headline=100.0, trace=Trace(frame_times_ms=np.full(frames, 10.0)))
        for i in "abc"
    ]
    told = learned_from([lesson_of(view_of(*runs))], LIMITS)
    assert told.shape == Known()
    assert told.spread.value == 0.0
