"""How far two good takes differ: pooled from siblings, other setups and the past."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import ALONE, run
from tests.triage.scenes import scene_take, seen, takes_beside, window

from evenhand.triage.candidate import Company
from evenhand.triage.learned import Known, Learned
from evenhand.triage.takes import LAG, SAG, SHAPE, Takes, takes_of, without_odd


def beside(n: int, company: Company = ALONE) -> Takes:
    view = seen(takes_beside(scene_take(1), n), company)
    found = takes_of(view.runs[0], view)
    assert found is not None
    return found


def with_peer(n: int, **how: float) -> Company:
    peer = tuple(run(f"p{i}", scene_take(500 + i, **how)) for i in range(n))  # type: ignore[arg-type]
    return replace(ALONE, peers=(peer,))


def test_pairs_without_the_run_say_what_good_takes_do() -> None:
    takes = beside(4)
    assert {(p.run.id, p.other.id) for p in takes.nulls} == {("2", "3"), ("2", "4"), ("3", "4")}
    assert takes.weight == 3.0
    assert np.sqrt(takes.squares[SHAPE]) == pytest.approx(np.sqrt(np.mean([p.shape**2 for p in takes.nulls])))


def test_other_setups_count_half_and_their_odd_runs_hardly() -> None:
    company = with_peer(5)
    (peer,) = company.peers
    spoilt = replace(company, peers=((*peer[:4], run("p9", scene_take(9, slower=window(5, 30, 0.4)))),))
    calm, odd = beside(3, company), beside(3, spoilt)
    assert calm.weight == 1.0 + 0.5 * 5
    assert odd.squares[SAG] < 0.01**2
    assert odd.swings[1].max() < 3 * calm.swings[1].max()


@pytest.mark.parametrize("n", [3, 4])
def test_of_three_or_four_on_another_setup_an_odd_one_is_no_measure(n: int) -> None:
    company = with_peer(n)
    (peer,) = company.peers
    spoilt = (*peer[:-1], run("p9", scene_take(9, slower=window(5, 20, 0.6))))
    calm, odd = beside(3, company), beside(3, replace(company, peers=(spoilt,)))
    assert odd.swings[1].max() < 2 * calm.swings[1].max()
    assert odd.weight == 1.0 + (0.5 if n == 3 else 1.5)


def test_an_odd_sibling_is_no_measure_of_what_good_takes_do() -> None:
    slow = run("2", scene_take(2, slower=window(5, 20, 0.6)))
    good = takes_beside(scene_take(1), 5)
    takes = takes_of((view := seen((good[0], slow, *good[2:]))).runs[0], view)
    assert takes is not None
    assert {p.run.id for p in takes.nulls} | {p.other.id for p in takes.nulls} == {"3", "4", "5"}
    assert {p.other.id for p in takes.pairs} == {"2", "3", "4", "5"}


def test_takes_that_all_differ_stay_a_measure_of_each_other() -> None:
    view = seen(tuple(run(str(i), scene_take(i, slower=window(4 * i, 4 * i + 3, 0.3))) for i in range(1, 5)))
    assert without_odd(view.runs, view) == view.runs


def test_the_past_is_a_prior_that_may_not_outvote_the_runs_at_hand() -> None:
    past = Learned(runs=200, studies=9, shape=Known(value=0.05, weight=200.0))
    assert beside(3).shape == pytest.approx(0.005, abs=0.004)
    lent = beside(5, replace(ALONE, learned=past)).shape
    assert lent is not None
    assert lent == pytest.approx(0.05 * np.sqrt(10 / 16), abs=0.003)


def test_with_one_sibling_nothing_is_known_and_every_limit_is_raised() -> None:
    takes = beside(2)
    assert (takes.alone, takes.shape, takes.weight) == (True, None, 0.0)
    assert takes.strictness > 1
    assert not takes.squares.any()
    assert not takes.worst.any()


def test_a_run_without_siblings_is_beside_nobody() -> None:
    view = seen((run("1", scene_take(1)),))
    assert takes_of(view.runs[0], view) is None


def test_the_worst_shift_between_siblings_counts_only_between_takes_of_one_scene() -> None:
    begun = tuple(run(str(i), scene_take(i, begins_s=i / 2)) for i in range(1, 5))
    view = seen(begun)
    takes = takes_of(view.runs[0], view)
    assert takes is not None
    assert takes.worst[LAG] == pytest.approx(1.0, abs=0.15)
