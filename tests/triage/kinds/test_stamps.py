from __future__ import annotations

from dataclasses import replace

from tests.triage.cells import GAME, cell, held, judge, kinds, only, plain, stamped

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Company

DRIVER = {"driver": "41.2"}
OLD = {"driver": "40.9"}


def test_one_run_on_another_driver_is_in_doubt() -> None:
    found = judge(stamped(cell(), OLD, DRIVER, DRIVER, DRIVER, DRIVER))
    fault = only(found["1"], "mixed-stamps")
    assert held(found) == {"1"}
    assert fault.severity is Severity.IN_DOUBT
    assert plain(fault.evidence) == "Its driver is “40.9”, 4 of 5 runs say “41.2”."


def test_another_resolution_or_test_version_blocks() -> None:
    for name in ("resolution", "Test version", "test_version", "settings"):
        found = judge(stamped(cell(3), {name: "low"}, {name: "high"}, {name: "high"}))
        assert only(found["1"], "mixed-stamps").severity is Severity.BLOCKS, name
        assert held(found) == {"1"}


def test_a_tie_holds_the_whole_cell() -> None:
    found = judge(stamped(cell(4), OLD, OLD, DRIVER, DRIVER))
    assert held(found) == {"1", "2", "3", "4"}
    assert held(judge(stamped(cell(2), OLD, DRIVER))) == {"1", "2"}


def test_spelling_is_no_difference() -> None:
    spellings = ({"resolution": "2560x1440"}, {"Resolution": "2560 × 1440"}, {"resolution": "2560X1440"})
    assert all(not faults for faults in judge(stamped(cell(3), *spellings)).values())


def test_a_run_that_says_nothing_is_not_accused() -> None:
    assert judge(stamped(cell(3), {}, DRIVER, DRIVER))["1"] == ()


def test_an_unknown_stamp_is_only_noted_and_never_in_a_tie() -> None:
    who = ({"operator": "Ines"}, {"operator": "Bo"}, {"operator": "Bo"})
    assert only(judge(stamped(cell(3), *who))["1"], "mixed-stamps").severity is Severity.NOTE
    assert judge(stamped(cell(2), *who[:2]))["1"] == ()


def test_several_differences_are_one_fault_as_grave_as_the_gravest() -> None:
    usual = {"driver": "41.2", "resolution": "2560x1440"}
    found = judge(stamped(cell(3), {"driver": "40.9", "resolution": "1920x1080"}, usual, usual))
    fault = only(found["1"], "mixed-stamps")
    assert fault.severity is Severity.BLOCKS
    assert fault.numbers["stamps_that_differ"] == 2


def test_settings_that_contradict_the_test_block_even_where_all_runs_agree() -> None:
    declared = Company(test=replace(GAME, version="1.4", settings={"resolution": "2560x1440"}))
    found = judge(stamped(cell(3), *[{"resolution": "1920x1080"}] * 3), declared)
    assert held(found) == {"1", "2", "3"}
    assert plain(only(found["1"], "other-settings").evidence) == (
        "Its resolution is “1920x1080”, the test declares “2560x1440”."
    )


def test_a_declared_value_settles_a_tie() -> None:
    declared = Company(test=replace(GAME, settings={"resolution": "2560x1440"}))
    found = judge(stamped(cell(2), {"resolution": "2560x1440"}, {"resolution": "1920x1080"}), declared)
    assert held(found) == {"2"}
    assert kinds(found["2"]) == {"other-settings"}


def test_the_declared_version_is_compared_with_the_version_stamp() -> None:
    declared = Company(test=replace(GAME, version="1.4"))
    assert held(judge(stamped(cell(2), {"version": "1.4"}, {"test version": "1.5"}), declared)) == {"2"}
