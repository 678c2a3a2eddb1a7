from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import (
    ALONE,
    GAME,
    STUDY,
    WORK,
    cell,
    held,
    judge,
    kinds,
    only,
    plain,
    run,
    scores,
    take,
    with_first,
)

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.learned import Known, Learned
from evenhand.triage.level_picture import level_picture
from evenhand.triage.standing import along_scene
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import look

RENDER = Company(test=WORK, study_spread=STUDY)
NEAR = (4.55, 4.61, 4.66, 4.58)  # a spread of about 1 %


def test_a_run_9_5_per_cent_quicker_than_four_siblings_is_in_doubt() -> None:
    rng = np.random.default_rng(4)
    siblings = [run(str(i), take(i, fps=61.0 * (1 + 0.012 * rng.standard_normal()))) for i in range(4)]
    found = judge([*siblings, run("low", take(77, fps=61.0 * 1.095))])
    fault = only(found["low"], "odd-level")
    assert held(found) == {"low"}
    assert fault.severity is Severity.IN_DOUBT
    assert fault.numbers["gap_ln"] == pytest.approx(np.log(1.095), abs=0.02)


def test_scores_are_judged_alike() -> None:
    found = judge(scores(5.05, *NEAR), RENDER)
    assert held(found) == {"1"}
    sentence = plain(only(found["1"], "odd-level").evidence)
    assert sentence.startswith(
        "5.050 jobs/h against its siblings at 4.550 to 4.660 jobs/h: +9.8 %, where runs"
    )


def test_the_sign_of_the_gap_does_not_matter() -> None:
    assert held(judge(scores(4.15, *NEAR), RENDER)) == {"1"}


def test_ordinary_scatter_is_not_held() -> None:
    assert held(judge(scores(4.70, *NEAR), RENDER)) == set()


def test_a_gap_below_1_5_per_cent_is_never_held_however_steady_the_siblings() -> None:
    steady = (4.600, 4.601, 4.600, 4.599)
    calm = Company(test=WORK, study_spread=tuple((1e-8, 4.0) for _ in range(6)))
    assert held(judge(scores(4.600 * 1.014, *steady), calm)) == set()
    assert held(judge(scores(4.600 * 1.018, *steady), calm)) == {"1"}


def test_a_test_that_scatters_widely_is_told_but_not_held() -> None:
    wide = Company(test=WORK, study_spread=tuple((0.05**2, 4.0) for _ in range(6)))
    found = judge(scores(6.9, 4.4, 4.6, 4.75, 4.5), wide)
    assert only(found["1"], "odd-level").severity is Severity.NOTE
    assert "scatters too widely" in only(found["1"], "odd-level").evidence


def test_a_noisy_peer_takes_away_the_certainty() -> None:
    calm, wild = scores(9.0, 9.1, 9.05, 9.2), scores(7.5, 9.0, 11.0, 8.0)
    odd = scores(4.88, *NEAR)
    assert held(judge(odd, replace(RENDER, peers=(tuple(calm),)))) == {"1"}
    assert held(judge(odd, replace(RENDER, peers=(tuple(wild),)))) == set()


def test_of_two_runs_nobody_can_say_which_is_odd_so_both_are_noted() -> None:
    found = judge(scores(4.60, 5.30), RENDER)
    assert [only(found[i], "odd-level").severity for i in "12"] == [Severity.NOTE, Severity.NOTE]
    assert "nobody can say" in only(found["1"], "odd-level").evidence


def test_without_anything_known_of_the_spread_two_runs_near_each_other_are_not_judged() -> None:
    assert judge(scores(4.60, 4.75), Company(test=WORK)) == {"1": (), "2": ()}


def test_without_anything_known_of_the_spread_two_runs_far_apart_are_told() -> None:
    found = judge(scores(4.60, 5.30), Company(test=WORK))
    told = only(found["2"], "odd-level")
    assert held(found) == set()
    assert plain(told.evidence).startswith(
        "5.300 jobs/h against run 1 at 4.600 jobs/h: +15.2 %, and nothing is known yet of how far runs"
    )
    assert set(told.numbers).isdisjoint({"p", "spread_ln"})


def test_two_runs_of_each_setup_that_lie_wildly_apart_do_not_excuse_each_other() -> None:
    other = scores(494.9, 212.2)
    found = judge(scores(386.7, 123.3), Company(test=WORK, peers=(tuple(other),)))
    assert [only(found[i], "odd-level").severity for i in "12"] == [Severity.NOTE, Severity.NOTE]


@pytest.mark.parametrize("apart", [0.04, 0.07, 0.10, 0.15])
def test_two_runs_of_a_calm_study_are_told_without_a_peer(apart: float) -> None:
    calm = tuple((0.005**2 * factor, 2.0) for factor in (0.3, 0.5, 0.7, 0.9, 1.0, 1.1, 1.3, 1.6, 0.8, 1.2))
    odd_pairs = tuple((gap**2 / 2, 1.0) for gap in (0.04, 0.07, 0.10, 0.15))
    runs = [run("1", take(1)), run("2", take(2, fps=100 * (1 + apart)))]
    found = judge(runs, Company(test=GAME, study_spread=calm + odd_pairs))
    assert {i: kinds(faults) for i, faults in found.items()} == {"1": {"odd-level"}, "2": {"odd-level"}}
    assert held(found) == set()


def test_one_run_alone_has_no_level_to_stand_apart_from() -> None:
    assert judge(scores(4.6), RENDER) == {"1": ()}


def test_equal_scores_are_no_fault_and_do_not_divide_by_zero() -> None:
    assert held(judge(scores(4.6, 4.6, 4.6, 4.6), Company(test=WORK))) == set()


def test_a_run_held_for_another_reason_does_not_make_its_siblings_look_odd() -> None:
    odd = replace(scores(6.9)[0], id="x", stamps={"driver": "40.9"})
    rest = [replace(r, stamps={"driver": "41.2"}) for r in scores(*NEAR)]
    assert held(judge([odd, *rest], RENDER)) == {"x"}


def test_a_capped_run_is_not_called_odd_as_well() -> None:
    times = np.maximum(take(1, fps=165.0), 1000 / 120)
    found = judge(with_first(cell(fps=165.0), run("1", times)), ALONE)
    assert "rate-cap" in kinds(found["1"])
    assert "odd-level" not in kinds(found["1"])


def test_a_run_without_a_headline_is_not_judged() -> None:
    assert judge(with_first(cell(), run("1", take(100), headline=None)), Company(test=GAME))["1"] == ()


def test_two_odd_runs_of_five_do_not_excuse_each_other() -> None:
    found = judge(scores(5.10, 5.12, 4.60, 4.62, 4.58), RENDER)
    assert held(found) == {"1", "2"}
    assert "Judged without run 2, which stands apart as well" in only(found["1"], "odd-level").evidence


def test_one_too_quick_and_one_too_slow_are_both_found() -> None:
    assert held(judge(scores(5.20, 4.05, 4.60, 4.62, 4.58), RENDER)) == {"1", "2"}


@pytest.mark.parametrize(("first", "second"), [(0.50, 0.88), (0.61, 0.88), (0.78, 0.90), (0.78, 1.09)])
@pytest.mark.parametrize("n", [5, 7])
def test_a_run_far_off_is_held_however_far_off_a_second_one_is(n: int, first: float, second: float) -> None:
    rng = np.random.default_rng(8)
    factors = [first, second, *(1 + 0.005 * rng.standard_normal(n - 2))]
    runs = [run(str(i), take(i, fps=110 * f)) for i, f in enumerate(factors)]
    peer = tuple(run(f"p{i}", take(50 + i, fps=90 * (1 + 0.004 * i))) for i in range(3))
    found = judge(runs, replace(ALONE, peers=(peer,)))
    assert held(found) >= {"0"}
    assert only(found["0"], "odd-level").severity is Severity.IN_DOUBT


def test_two_against_two_nobody_can_say() -> None:
    assert held(judge(scores(5.10, 5.12, 4.60, 4.62), RENDER)) == set()


def test_a_level_that_hitches_hide_in_the_average_is_seen_along_the_scene() -> None:
    rng = np.random.default_rng(2)
    siblings = []
    for i in range(4):
        times = take(i)
        hitches = rng.choice(times.size, 10 + 25 * i, replace=False)
        times[hitches] *= 2.4  # averages that scatter by 2 %
        siblings.append(run(str(i), times))
    slow = take(9) * 1.06
    slow[::60] *= 2.4
    found = judge([*siblings, run("slow", slow)])
    fault = only(found["slow"], "odd-level")
    assert fault.severity is Severity.IN_DOUBT
    assert fault.numbers["gap_ln"] == pytest.approx(-np.log(1.06), abs=0.015)
    assert "along the scene, hitches and stretches apart" in fault.evidence


def test_an_average_that_a_pause_has_moved_is_told_and_not_held_for_its_level() -> None:
    times = take(9)
    times[1500] += 2000.0
    found = judge([*cell(4), run("paused", times)])
    fault = only(found["paused"], "odd-level")
    assert fault.severity is Severity.NOTE
    assert "Not so along the scene" in fault.evidence
    assert abs(fault.numbers["along_scene_ln"]) < 0.01 < abs(fault.numbers["gap_ln"])


def test_where_the_headline_is_no_average_the_scene_need_not_show_it() -> None:
    lows = [replace(r, headline=70.0 + i / 4) for i, r in enumerate(cell(5))]
    found = judge([replace(lows[0], headline=60.0), *lows[1:]])
    fault = only(found["1"], "odd-level")
    assert fault.severity is Severity.IN_DOUBT
    assert "along_scene_ln" not in fault.numbers


def test_takes_that_wander_about_each_other_allow_for_more() -> None:
    rng = np.random.default_rng(6)

    def wandering(seed: int, level: float) -> Candidate:
        slow = 0.06 * np.repeat(rng.standard_normal(6), 500)
        return run(str(seed), take(seed) * np.exp(slow - slow.mean() + level))

    runs = [wandering(i, 0.0) for i in range(4)]
    view = look([*runs, wandering(9, 0.03)], ALONE, DEFAULT)
    along = along_scene(view.runs, view)
    calm = look(cell(5), ALONE, DEFAULT)
    steady = along_scene(calm.runs, calm)
    assert along is not None
    assert steady is not None
    assert np.mean(along.wander) > 20 * np.mean(steady.wander)


def test_past_runs_of_the_test_say_how_much_it_scatters() -> None:
    runs = scores(4.94, 4.58, 4.62)
    assert held(judge(runs, Company(test=WORK))) == set()
    calm = Learned(spread=Known(value=0.008**2, weight=30.0))
    assert held(judge(runs, Company(test=WORK, learned=calm))) == {"1"}


def test_a_past_that_no_longer_fits_is_left_out() -> None:
    runs = scores(5.05, 4.600, 4.603, 4.601, 4.602)
    wild = Learned(spread=Known(value=0.06**2, weight=200.0))
    assert held(judge(runs, Company(test=WORK, learned=wild))) == {"1"}


def test_an_odd_run_on_the_other_setup_does_not_hide_one_here() -> None:
    odd, calm = scores(5.05, *NEAR), tuple(scores(9.0, 9.1, 9.05, 9.12))
    spoilt = (*calm[1:], replace(calm[0], headline=11.5))
    assert held(judge(odd, replace(RENDER, peers=(spoilt,)))) == {"1"}


@pytest.mark.parametrize("frames", [1, 2, 10])
def test_a_sibling_of_hardly_any_frames_leaves_the_headline_to_judge_by(frames: int) -> None:
    runs = [run("1", take(1)[:frames], headline=100.0), *cell(5)[1:], run("slow", take(9) * 1.12)]
    assert "odd-level" in kinds(judge(runs)["slow"])


def test_five_hundred_scores_are_judged_in_one_go() -> None:
    rng = np.random.default_rng(3)
    values = 4.6 * np.exp(0.01 * rng.standard_normal(500))
    values[77] = 4.6 * 1.12
    assert held(judge(scores(*values), RENDER)) == {"78"}


def test_the_picture_marks_the_run_and_where_it_was_expected() -> None:
    view = look(scores(5.05, *NEAR), RENDER, DEFAULT)
    picture = level_picture(view, "1")
    assert picture is not None
    assert (picture.marked, picture.values.tolist()) == (0, pytest.approx([5.05, *NEAR]))
    assert picture.low < min(NEAR) < picture.mean < max(NEAR) < picture.high < 5.05
    assert level_picture(look(scores(4.6), RENDER, DEFAULT), "1") is None
