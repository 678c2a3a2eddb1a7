"""What is prepared once serves every cell, and changes nothing in what is found."""

from dataclasses import replace

import numpy as np
import pytest

from evenhand.records.tests import Direction, Measures, Test
from evenhand.traces.trace import Trace
from evenhand.triage import prepared as preparing
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.prepared import Prepared
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.triage import triage_cell

TEST = Test(
    key="t", name="T", measures=Measures.FRAMES, metric="average_fps", unit="fps", direction=Direction.HIGHER
)


def run(name: str, rate: float, seed: int) -> Candidate:
    times = 1000 / rate * np.exp(np.random.default_rng(seed).normal(0, 0.05, 3000))
    trace = Trace(frame_times_ms=times)
    return Candidate(id=name, label=name, headline=1000 * times.size / float(times.sum()), trace=trace)


def test_two_cells_that_share_preparations_find_what_each_finds_alone():
    ours = [run(f"a{i}", 90, i) for i in range(4)]
    theirs = [run(f"b{i}", 70, 10 + i) for i in range(3)] + [run("copy", 90, 0)]
    prepared = Prepared(DEFAULT)
    for cell, peers in ((ours, theirs), (theirs, ours)):
        around = Company(test=TEST, peers=(tuple(peers),))
        alone, shared = triage_cell(cell, around), triage_cell(cell, around, prepared=prepared)
        assert alone == shared
        assert any(fault.kind == "twin" for faults in shared.values() for fault in faults)


def test_another_run_in_place_of_one_beside_it_is_looked_at_anew():
    """As many runs of the other setup as before are not the same runs: one was set aside, one came in."""
    slow, ours = run("slow", 90, 5), [run(f"a{i}", 90, i) for i in range(4)]
    slow = replace(slow, trace=Trace(frame_times_ms=slowed(slow.trace.frame_times_ms, 1200, 2100)))
    theirs = [run(f"b{i}", 70, 10 + i) for i in range(4)]
    odd = replace(theirs[1], trace=Trace(frame_times_ms=slowed(theirs[1].trace.frame_times_ms, 300, 1500)))
    prepared = Prepared(DEFAULT)
    before = Company(test=TEST, peers=((theirs[0], odd),))
    triage_cell(ours, before, prepared=prepared)
    after = Company(test=TEST, peers=((theirs[0], theirs[2]),))
    beside = (slow, *ours)
    assert triage_cell(beside, after, prepared=prepared) == triage_cell(beside, after)
    assert "slow-stretch" in {fault.kind for fault in triage_cell(beside, after)["slow"]}


def slowed(times, first, last):
    return np.concatenate((times[:first], 1.9 * times[first:last], times[last:]))


def test_features_are_made_once_for_a_run_and_apart_for_its_namesake():
    prepared = Prepared(DEFAULT)
    one, namesake = run("a", 90, 1), run("a", 90, 2)
    assert prepared.features(one) is prepared.features(one)
    assert prepared.features(one) is not prepared.features(namesake)


def test_what_takes_as_much_room_as_a_long_run_is_let_go_and_worked_out_again(monkeypatch):
    monkeypatch.setattr(preparing, "LARGE_FRAMES", 3000)
    prepared = Prepared(DEFAULT)
    long = prepared.features(run("a", 90, 1))
    kept, gone = (
        [prepared.derived(long, "small", 0, object)],
        [prepared.as_long_as_the_run(long, "big", 0, object)],
    )
    assert prepared.as_long_as_the_run(long, "big", 0, object) is gone[0]
    prepared.let_go()
    assert prepared.derived(long, "small", 0, object) is kept[0]
    assert prepared.as_long_as_the_run(long, "big", 0, object) is not gone[0]


@pytest.mark.parametrize("large", [1, 10**9])
def test_letting_go_changes_nothing_in_what_is_found(monkeypatch, large):
    cell = [run(f"a{i}", 90, i) for i in range(4)] + [run("copy", 90, 0)]
    usual = triage_cell(cell, Company(test=TEST))
    monkeypatch.setattr(preparing, "LARGE_FRAMES", large)
    assert triage_cell(cell, Company(test=TEST)) == usual
    assert any(usual.values())
