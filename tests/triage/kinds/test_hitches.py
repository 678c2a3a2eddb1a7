from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import (
    ALONE,
    GAME,
    Floats,
    cell,
    held,
    judge,
    kinds,
    only,
    plain,
    run,
    take,
    with_first,
)

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.features import features
from evenhand.triage.hitch_moments import find_hitches
from evenhand.triage.kinds.hitches import extra_hitches
from evenhand.triage.learned import Known, Learned
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import look

LIMITS = DEFAULT.hitches


def struck(times: Floats, seconds: Floats | list[float], *, longer: float = 5.0) -> Floats:
    """The take with one long frame at each of these seconds."""
    times = times.copy()
    at = np.searchsorted(np.cumsum(times) / 1000, seconds)
    times[at] *= longer
    return times


def game(name: str, seed: int, seconds: Floats | list[float], **more: object) -> Candidate:
    return run(name, struck(take(seed), seconds), headline=100.0, **more)


EXTRA = np.linspace(2.0, 28.0, 18)


def first_pass(**more: object) -> list[Candidate]:
    """Five runs, the first of which hitches 18 times."""
    return [game("1", 1, EXTRA, **more), *(game(str(i), i, [9.0 + i]) for i in range(2, 6))]


def test_a_run_with_eighteen_more_hitches_than_its_siblings_is_held() -> None:
    found = judge(first_pass())
    assert held(found) == {"1"}
    fault = only(found["1"], "extra-hitches")
    assert fault.severity is Severity.IN_DOUBT
    assert plain(fault.evidence).startswith("18 hitches, where its siblings have 1 and")
    assert fault.numbers["hitches"] == 18
    assert fault.siblings == ("2", "3", "4", "5")


def test_every_extra_hitch_is_marked_where_it_happened() -> None:
    places = only(judge(first_pass())["1"], "extra-hitches").places
    assert [p.from_s for p in places] == pytest.approx(list(EXTRA), abs=0.8)  # hitches lengthen what follows
    assert all(0.01 < p.to_s - p.from_s < 0.2 for p in places)


def test_three_more_than_usual_are_chance() -> None:
    runs = [game("1", 1, [3.0, 11.0, 20.0]), *(game(str(i), i, []) for i in range(2, 6))]
    assert held(judge(runs)) == set()


def test_fewer_hitches_than_the_siblings_are_no_fault() -> None:
    runs = [game("1", 1, []), *(game(str(i), i, np.linspace(3, 27, 12) + 0.3 * i) for i in range(2, 6))]
    assert judge(runs)["1"] == ()


def test_hitches_that_every_take_has_at_the_same_place_are_the_scenes() -> None:
    locked = list(np.sort(np.random.default_rng(3).uniform(1, 29, 14)))
    runs = [game(str(i), i, locked) for i in range(1, 6)]
    assert held(judge(runs)) == set()
    extra = np.sort([*locked, *np.linspace(2.7, 27.5, 10)])
    fault = only(judge([game("1", 1, extra), *runs[1:]])["1"], "extra-hitches")
    assert fault.numbers["shared_hitches"] == pytest.approx(13, abs=3)
    assert len(fault.places) == pytest.approx(10, abs=4)
    assert "at places where every take hitches" in plain(fault.evidence)


def test_a_scene_that_hitches_often_is_given_its_scatter() -> None:
    rng = np.random.default_rng(5)
    runs = [game(str(i), i, np.sort(rng.uniform(1, 29, k))) for i, k in enumerate((40, 24, 31, 27, 35))]
    assert not any("extra-hitches" in kinds(f) for f in judge(runs).values())


def test_a_pause_over_several_frames_is_one_hitch() -> None:
    times = take(1)
    times[1000:1004] *= 6
    times[1500:1503:2] *= 6
    found = find_hitches(features(run("1", times)), LIMITS)
    assert found.count == 2
    assert found.lasts_s[0] == pytest.approx(times[1000:1004].sum() / 1000)


def test_the_first_half_second_is_not_looked_at() -> None:
    assert find_hitches(features(game("1", 1, [0.1, 0.3, 5.0])), LIMITS).count == 1


def test_the_first_run_of_its_boot_is_called_a_first_pass() -> None:
    runs = [replace(r, boot="b1", order=i) for i, r in enumerate(first_pass())]
    fault = only(judge(runs)["1"], "extra-hitches")
    assert "It is the first run of this test after its boot (b1)." in fault.evidence
    assert "discarded first run" in fault.todo


def test_first_runs_of_two_boots_do_not_excuse_each_other() -> None:
    first = [game("1", 1, EXTRA), game("4", 4, EXTRA + 0.7)]
    later = [game(str(i), i, [9.0 + i]) for i in (2, 3, 5, 6)]
    runs = [first[0], later[0], later[1], first[1], later[2], later[3]]
    boots = [replace(r, boot="b1" if i < 3 else "b2", order=i) for i, r in enumerate(runs)]
    assert held(judge(boots)) == {"1", "4"}


def test_of_two_runs_nobody_can_say_which_is_odd_so_both_are_noted() -> None:
    found = judge([game("1", 1, EXTRA), game("2", 2, [11.0])], ALONE)
    assert [only(found[i], "extra-hitches").severity for i in "12"] == [Severity.NOTE, Severity.NOTE]
    assert all("nobody can say" in only(found[i], "extra-hitches").evidence for i in "12")
    assert "third run" in only(found["2"], "extra-hitches").todo


def test_what_earlier_studies_know_of_the_rate_and_its_scatter_counts() -> None:
    runs = [game("1", 1, EXTRA[::3]), *(game(str(i), i, []) for i in (2, 3))]
    wild = Learned(hitches=Known(value=10.0, weight=40.0), hitch_excess=Known(value=1.5, weight=40.0))
    assert held(judge(runs)) == {"1"}
    assert held(judge(runs, Company(test=GAME, learned=wild))) == set()


@pytest.mark.parametrize("frames", [0, 1, 2, 10])
def test_a_run_of_hardly_any_frames_is_no_fault_and_no_crash(frames: int) -> None:
    runs = with_first(cell(), run("1", take(1)[:frames], headline=100.0))
    view = look(runs, ALONE, DEFAULT)
    assert list(extra_hitches(view)) == []
