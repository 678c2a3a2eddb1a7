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
from evenhand.triage.candidate import Company

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


def test_without_anything_known_of_the_spread_two_runs_are_not_judged() -> None:
    assert judge(scores(4.60, 5.30), Company(test=WORK)) == {"1": (), "2": ()}


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
