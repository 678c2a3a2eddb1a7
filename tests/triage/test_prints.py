"""What a run is recognised by, and the quick look that spares most pairs a closer one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import ALONE, cell, run, take

from evenhand.triage.candidate import Candidate
from evenhand.triage.prints import Prints, best_match, perhaps_alike, prints_of
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import look


def printed(*runs: Candidate, peers: tuple[Candidate, ...] = ()) -> Prints:
    return prints_of(look(runs, replace(ALONE, peers=(peers,) if peers else ()), DEFAULT))


def test_the_quick_look_lets_every_pair_through_that_the_closer_one_may_doubt() -> None:
    original = take(101)
    noise = np.random.default_rng(3).standard_normal(original.size)
    changed = [run(f"by {by}", original * np.exp(by * noise)) for by in (0.0, 0.003, 0.006, 0.01, 0.02, 0.04)]
    prints = printed(*cell(4), *changed, run("cut", original[500:]))
    runs = prints.view.runs
    let_through = 0
    for place, one in enumerate(runs):
        near = {other.id for other in perhaps_alike(one, runs[place + 1 :], prints)}
        for other in runs[place + 1 :]:
            match = best_match(one, other, prints)
            doubted = match is not None and match.r > DEFAULT.twin.doubt_above_r
            assert other.id in near or not doubted
            let_through += other.id in near
    assert 8 <= let_through < len(runs) * (len(runs) - 1) / 2


def test_takes_of_one_scene_are_not_looked_at_closely() -> None:
    prints = printed(*cell(5))
    first, *others = prints.view.runs
    assert perhaps_alike(first, others, prints) == []


@pytest.mark.parametrize("within", [True, False])
def test_what_is_seen_of_a_pair_does_not_depend_on_who_is_asked(within: bool) -> None:
    copy = run("copy", take(101)[300:])
    prints = printed(*cell(3), copy) if within else printed(*cell(3), peers=(copy,))
    everyone = [p.run for p in prints.of.values()]
    (again,) = [r for r in everyone if r.id == "copy"]
    others = [r for r in everyone if r is not again]
    assert [r.id for r in perhaps_alike(again, others, prints)] == ["2"]
    assert [r.id for r in others if perhaps_alike(r, [again], prints)] == ["2"]


def test_a_run_that_hardly_varies_has_no_print() -> None:
    prints = printed(*cell(2), run("still", np.full(3000, 10.0)))
    assert set(prints.of) == {"1", "2"}
