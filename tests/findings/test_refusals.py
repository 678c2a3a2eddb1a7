"""Runs that may not share one ratio are refused with a reason, as a value."""

from dataclasses import replace

from tests.findings.bench import around, cell, machine, run

from evenhand.findings.finding import Joint, Under
from evenhand.findings.refusals import refusals
from evenhand.records.tests import Direction, Measures, Test


def a_test(key="quay", **settings):
    return Test(key=key, name=key, measures=Measures.FRAMES, metric="fps", unit="fps",
                direction=Direction.HIGHER, settings=settings)  # fmt: skip


def of(setup, stamps, n=2):
    return machine(setup, "p0", runs=[run(setup, i, stamps=stamps) for i in range(n)])


def test_another_resolution_is_another_test():
    (told,) = refusals(
        [of("a", {"resolution": "1920 × 1080"}), of("b", {"resolution": "2560x1440"})], [], [a_test()]
    )
    assert (told.key, told.name, told.test, told.setups) == ("stamp", "resolution", "quay", ("a", "b"))
    assert "two different tests" in told.words


def test_the_same_resolution_written_otherwise_is_none():
    assert not refusals(
        [of("a", {"resolution": "1920 × 1080"}), of("b", {"Resolution": "1920x1080"})], [], [a_test()]
    )


def test_a_setting_that_the_test_declares_counts_and_another_stamp_does_not():
    pair = [of("a", {"upscaling": "off", "driver": "1"}), of("b", {"upscaling": "on", "driver": "2"})]
    assert [r.name for r in refusals(pair, [], [a_test(upscaling="off")])] == ["upscaling"]
    assert not refusals(pair, [], [a_test()])


def test_what_one_side_does_not_say_is_no_refusal():
    assert not refusals([of("a", {"version": "1"}), of("b", {})], [], [a_test()])


def test_cells_of_two_versions_or_directions_are_refused_without_an_exception():
    cells = [cell("a", around(1.0), version="1"), cell("b", around(1.0), version="2")]
    (told,) = refusals([], cells, [])
    assert (told.key, told.setups) == ("definition", ("a", "b"))
    assert "versions of the test" in told.words
    turned = [cell("a", around(1.0)), cell("b", around(1.0), better="lower")]
    assert [r.key for r in refusals([], turned, [])] == ["definition"]


def test_setups_without_runs_of_the_test_are_not_held_against_it():
    lone = machine("b", "p0", stamps={"resolution": "2560 × 1440"})
    assert not refusals([of("a", {"resolution": "1920 × 1080"}), lone], [], [a_test()])


def under(setup, machine_key, name, *joints):
    return replace(
        cell(setup, around(1.0)),
        under=Under(machine=machine_key, names=(name,), changed=("version",), joined=joints),
    )


def test_a_version_that_a_machine_run_under_both_bridges_is_no_refusal_and_a_resolution_is():
    pair = [of("a", {"version": "1"}), of("b", {"version": "2"})]
    seen = cell("c", around(1.0)).observations
    leads = Joint(machine="c", here="version 1", there="version 2", beside=seen, across=seen)
    bridged = [under("a", "a", "version 1", leads), under("b", "b", "version 2")]
    assert not refusals(pair, bridged, [a_test()])
    alone = [under("a", "a", "version 1"), under("b", "b", "version 2")]
    (told,) = refusals(pair, alone, [a_test()])
    assert told.todo == "measure both with one version, or bridge them with a setup that was run under both"
    other = [of("a", {"resolution": "1 x 1"}), of("b", {"resolution": "2 x 2"})]
    (told,) = refusals(other, bridged, [a_test()])
    assert told.todo == "measure both with one resolution"


def test_two_versions_of_one_machine_are_its_shift():
    pair = [of("a", {"version": "1"}), of("a2", {"version": "2"})]
    assert not refusals(pair, [under("a", "a", "version 1"), under("a2", "a", "version 2")], [a_test()])
