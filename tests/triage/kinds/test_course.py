"""Of four ways in which a course differs from its siblings', the one that explains the others is told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import ALONE, cell, held, judge, kinds, only, plain, run
from tests.triage.scenes import elsewhere, scene_take, seen, takes_beside, window, with_pause

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Company
from evenhand.triage.kinds.course import course_of_run

FAMILY = {"slow-sag", "slow-stretch", "late-start", "wrong-scene"}


def ramp(size: float, seconds: float = 40.0):  # type: ignore[no-untyped-def]
    return lambda at_s: size * ((at_s / seconds - 0.3) / 0.4).clip(0, 1)


SPOILT = {
    "slow-sag": scene_take(1, slower=ramp(0.09)),
    "slow-stretch": scene_take(1, slower=window(12, 16, 0.3)),
    "late-start": scene_take(1, begins_s=4.0),
    "wrong-scene": scene_take(1, scene=elsewhere),
}


@pytest.mark.parametrize("kind", sorted(SPOILT))
@pytest.mark.parametrize("n", [3, 5])
def test_each_way_is_told_once_and_good_runs_are_left_alone(kind: str, n: int) -> None:
    found: dict[str, list[str]] = {}
    for name, fault in course_of_run(seen(takes_beside(SPOILT[kind], n))):
        found.setdefault(name, []).append(fault.kind)
    assert found == {"1": [kind]}


@pytest.mark.parametrize("kind", sorted(SPOILT))
def test_a_finding_names_places_numbers_and_whom_it_was_judged_against(kind: str) -> None:
    fault = only(judge(takes_beside(SPOILT[kind]))["1"], kind)
    assert fault.severity is Severity.IN_DOUBT
    assert fault.siblings == ("2", "3", "4", "5")
    assert fault.places
    assert all(0 <= p.from_s < p.to_s <= 41 for p in fault.places)
    assert all(np.isfinite(v) for v in fault.numbers.values())
    assert "nan" not in plain(fault.evidence)


def test_good_runs_show_nothing() -> None:
    good = tuple(run(str(i), scene_take(300 + i)) for i in range(6))
    assert list(course_of_run(seen(good))) == []


@pytest.mark.parametrize("kind", ["slow-sag", "slow-stretch", "late-start", "wrong-scene"])
def test_of_two_runs_nobody_can_say_which_is_odd_so_both_are_noted(kind: str) -> None:
    found = judge(takes_beside(SPOILT[kind], 2))
    assert held({i: [f for f in faults if f.kind in FAMILY] for i, faults in found.items()}) == set()
    assert all(kinds(found[i]) & FAMILY for i in "12")
    assert all("nobody can say" in f.evidence for i in "12" for f in found[i] if f.kind in FAMILY)


def test_of_two_runs_the_one_that_stands_still_is_plain() -> None:
    found = judge(takes_beside(with_pause(scene_take(1), 15.0, 3000.0), 2))
    assert only(found["1"], "slow-stretch").severity is Severity.IN_DOUBT
    assert not kinds(found["2"]) & FAMILY


def test_a_run_alone_that_stands_still_is_told_but_may_be_a_scene_that_loads() -> None:
    (found,) = judge((run("1", with_pause(scene_take(1), 15.0, 3000.0)),)).values()
    fault = only(found, "slow-stretch")
    assert fault.severity is Severity.NOTE
    assert "whether the scene loads there" in plain(fault.evidence)


def test_where_every_take_pauses_at_the_same_place_the_scene_does() -> None:
    paused = tuple(
        run(str(i), with_pause(scene_take(400 + i), 15.0, ms))
        for i, ms in enumerate((2500.0, 3000.0, 3400.0))
    )
    assert not any(kinds(faults) & FAMILY for faults in judge(paused).values())


def test_a_run_held_for_something_that_explains_its_course_is_not_accused_again() -> None:
    capped = np.maximum(scene_take(1), 11.0)
    found = judge(takes_beside(capped))
    assert "rate-cap" in kinds(found["1"])
    assert not kinds(found["1"]) & FAMILY


@pytest.mark.parametrize("frames", [1, 2, 10])
def test_a_handful_of_frames_has_no_course(frames: int) -> None:
    runs = takes_beside(scene_take(1)[:frames])
    assert list(course_of_run(seen(runs))) == []


def test_constant_traces_have_no_course_to_differ_in() -> None:
    flat = tuple(run(str(i), np.full(4000, 10.0)) for i in range(4))
    assert list(course_of_run(seen(flat))) == []


def test_a_sibling_of_quite_another_length_does_no_harm() -> None:
    runs = (*takes_beside(scene_take(1), 4), run("9", scene_take(9, seconds=5.0)))
    assert list(course_of_run(seen(runs))) == []


def test_runs_that_are_only_scores_have_no_course() -> None:
    scored = tuple(replace(r, trace=None) for r in cell(3))
    assert list(course_of_run(seen(scored))) == []


def test_in_a_test_whose_takes_differ_widely_a_weak_finding_is_a_note_that_says_so() -> None:
    rng = np.random.default_rng(5)

    def wandering(seed: int, sag: float = 0.0):  # type: ignore[no-untyped-def]
        own = np.random.default_rng(seed).normal(0, 0.055, 80)
        return scene_take(
            seed, slower=lambda at_s: np.interp(at_s, np.arange(80) * 0.75, own) + ramp(sag)(at_s)
        )

    found = [
        fault
        for _ in range(6)
        for seed in [int(rng.integers(1000))]
        for faults in judge(
            (run("1", wandering(seed, 0.16)), *(run(str(i), wandering(seed + 7 * i)) for i in range(2, 6)))
        ).values()
        for fault in faults
        if fault.kind in FAMILY
    ]
    notes = [f for f in found if f.severity is Severity.NOTE]
    assert notes
    assert all("too widely" in plain(f.evidence) for f in notes)


def test_company_may_have_peers_without_frames() -> None:
    company = replace(ALONE, peers=(tuple(replace(r, trace=None) for r in cell(3)),))
    assert isinstance(company, Company)
    assert [f.kind for _, f in course_of_run(seen(takes_beside(SPOILT["slow-stretch"]), company))] == [
        "slow-stretch"
    ]
