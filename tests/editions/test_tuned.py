"""Tuned parts in a snapshot: what moves, what is only told otherwise, and the tables that hold them."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import fields, replace
from typing import Any

import pytest
from tests.editions.test_snapshot import SMALL, damaged

from evenhand.desk.publication.article_corrections import moves_told
from evenhand.desk.publication.tuning_rows import OWN
from evenhand.editions.moved import REWORDED, Of, moved
from evenhand.editions.recomputed import recomputed
from evenhand.editions.snapshot import Snapshot, as_text, from_stranger, from_text
from evenhand.editions.table_shapes import SHAPES
from evenhand.editions.tables import DataTable, tables_of, to_csv
from evenhand.editions.tuned import OF_TUNING, failing, machine_called, state_told
from evenhand.editions.tuned_shapes import TUNED_SHAPES
from evenhand.errors import BadRecord
from evenhand.prose.quotable import Sort
from evenhand.records.trials import Trial
from evenhand.tuning import figured

TRIAL: Mapping[str, Any] = {
    "key": "first", "clock_mhz": 5000.0, "voltage_mv": 1050.0, "load": "integers",
    "settings": {"load-line": "4"}, "hours": 24.0, "planned_h": 24.0, "found_after_h": None,
    "outcome": "passed", "errors": 0, "corrected": 0, "room_c": 24.0,
    "hottest_c": None, "watts": None, "watts_at": None, "at": None, "taken_back": None,
    "words": "5,000 MHz at 1,050 mV, integers: held 24 h",
}  # fmt: skip
CLAIM = {
    "clock_mhz": 5000.0, "voltage_mv": 1050.0, "at": "5,000 MHz at 1,050 mV", "hours": 24.0, "failures": 0,
    "rooms_c": [24.0, 24.0], "unread_rooms": 0, "most_per_h": 0.1248, "words": "In 24 h no failure.",
    "more": "276 h more.", "may": "no failure in 24 h of integers", "may_not": ["stable"],
}  # fmt: skip
PART: Mapping[str, Any] = {
    "setup": "wren", "part": "processor", "stock_clock_mhz": 5000.0, "stock_voltage_mv": 1050.0,
    "clock_step_mhz": 50.0, "voltage_step_mv": 5.0, "offset": False, "hottest_room_c": 30.0,
    "limits": [
        {"quantity": "voltage", "most": 1250.0, "unit": "mV", "source": "page 14", "read_on": "2031-05-04"}
    ],
    "beside": {"How warm it gets": ["At 113 W it settles at 86 °C."]},
    "trials": [TRIAL],
    "said": [
        {
            "load": "integers", "settings": {"load-line": "4"}, "trials": 1, "hottest_room_c": 30.0,
            "target_per_h": 0.001, "claim": CLAIM, "doubts": ["One trial only."],
            "advice": [{"clock_mhz": 5000.0, "voltage_mv": None, "words": "None is advised."}],
        }
    ],
}  # fmt: skip
NAME = "processor of wren under integers, load-line 4"
TUNED = replace(SMALL, tuning=[PART])


def tuned(**changes: Any) -> Snapshot:
    return replace(SMALL, tuning=[{**PART, **changes}])


def said(**changes: Any) -> Snapshot:
    return tuned(said=[{**PART["said"][0], **changes}])


def table(snapshot: Snapshot, name: str) -> DataTable:
    return next(each for each in tables_of(snapshot) if each.name == name)


def test_it_comes_back_as_it_was_and_an_edition_without_is_read_as_before() -> None:
    text = as_text(TUNED)
    assert from_stranger(text.encode(), where="here").tuning == TUNED.tuning
    assert as_text(from_text(text, where="here")) == text
    assert "tuning" not in json.loads(as_text(SMALL))
    assert not from_text(as_text(SMALL), where="here").tuning


@pytest.mark.parametrize(
    ("tuning", "wrong"),
    [
        ([3], r"tuning\[0\] is no table"),
        ([{**PART, "limits": [{}]}], r"limits\[0\] has no quantity"),
        ([{**PART, "trials": [{**TRIAL, "hours": "24"}]}], r"trials\[0\].hours is no number"),
        ([{**PART, "said": [{**PART["said"][0], "claim": {}}]}], r"claim has no clock_mhz"),
    ],
)
def test_a_stranger_s_tuning_of_another_shape_is_refused_by_its_place(tuning: object, wrong: str) -> None:
    with pytest.raises(BadRecord, match=wrong):
        from_stranger(damaged(tuning=tuning), where="here")


def within(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every table and list of it with each of its keys or places."""
    if isinstance(value, dict | list):
        for key in list(value) if isinstance(value, dict) else range(len(value)):
            yield value, key
            yield from within(value[key])


@pytest.mark.parametrize("odd", [None, 3, "odd", [], {}, [1], [{}], {"a": []}, 1e300, True])
def test_whatever_a_stranger_puts_anywhere_is_worked_out_or_refused_in_words(odd: object) -> None:
    places = len(list(within(deepcopy([PART]))))
    assert places > 60
    for place in range(places):
        tuning = json.loads(json.dumps([PART]))
        table, key = list(within(tuning))[place]
        table[key] = odd
        try:
            snapshot = from_stranger(damaged(tuning=tuning), where="here")
            told = [to_csv(each) for each in tables_of(snapshot)]
        except BadRecord:
            continue
        assert told
        recomputed(snapshot, TUNED)


@pytest.mark.parametrize(
    ("after", "of", "before", "now"),
    [
        (
            tuned(trials=[{**TRIAL, "taken_back": "the fan stood still"}]), Of.TRIAL, TRIAL["words"],
            f"{TRIAL['words']}; taken back: the fan stood still",
        ),
        (
            tuned(limits=[{**PART["limits"][0], "most": 1200.0}]), Of.LIMIT,
            "1250 mV (page 14, read on 2031-05-04)", "1200 mV (page 14, read on 2031-05-04)",
        ),
        (
            said(claim={**CLAIM, "failures": 1, "may": "one failure in 24 h of integers"}), Of.CALLED,
            "5,000 MHz at 1,050 mV: no failure in 24 h of integers",
            "5,000 MHz at 1,050 mV: one failure in 24 h of integers",
        ),
        (
            said(advice=[{"clock_mhz": 5000.0, "voltage_mv": 1070.0, "words": "Set 1,070 mV."}]), Of.ADVISED,
            "None is advised.", "Set 1,070 mV.",
        ),
        (
            tuned(beside={"How warm it gets": ["At 113 W it settles at 88 °C."]}), Of.BESIDE,
            "At 113 W it settles at 86 °C.", "At 113 W it settles at 88 °C.",
        ),
        (
            tuned(stock_clock_mhz=4900.0), Of.TUNED,
            "Stock 5,000 MHz at 1,050 mV, steps of 50 MHz and 5 mV, rooms up to 30 °C.",
            "Stock 4,900 MHz at 1,050 mV, steps of 50 MHz and 5 mV, rooms up to 30 °C.",
        ),
    ],
)  # fmt: skip
def test_one_thing_that_differs_is_one_move(after: Snapshot, of: Of, before: str, now: str) -> None:
    (move,) = moved(TUNED, after)
    assert (move.of, plain(move.before), plain(move.after)) == (of, before, now)


def plain(text: str | None) -> str:
    return (text or "").replace("\u00a0", " ")


def test_trials_after_an_edition_without_any_are_told_as_new() -> None:
    assert {(move.of, move.before) for move in moved(SMALL, TUNED)} == {
        (of, None) for of in (Of.TUNED, Of.LIMIT, Of.TRIAL, Of.CALLED, Of.ADVISED, Of.BESIDE)
    }


def test_the_program_s_own_words_alone_are_told_once() -> None:
    row = {
        **PART["said"][0],
        "claim": {**CLAIM, "may": "24 h without a failure"},
        "doubts": ["There is one."],
    }
    assert moved(TUNED, tuned(said=[row], trials=[{**TRIAL, "words": "held"}])) == (REWORDED,)


def test_readers_are_told_how_many_trials_came_and_each_that_is_another_now() -> None:
    more = tuned(trials=[{**TRIAL, "taken_back": "the fan stood still"}, {**TRIAL, "key": "second"}])
    first, second = moves_told([move for move in moved(TUNED, more) if move.of is Of.TRIAL], {})
    assert first == "One trial of tuned parts was added"
    assert second.endswith(f"→ {TRIAL['words']}; taken back: the fan stood still")


def test_readers_are_told_each_of_the_few_trials_that_failed() -> None:
    crashed = {**TRIAL, "key": "second", "outcome": "crash", "words": "it crashed after 2 h"}
    after = tuned(trials=[TRIAL, crashed, {**TRIAL, "key": "third"}])
    assert list(moves_told(moved(TUNED, after), {}, failing(after))) == [
        "Two trials of tuned parts were added, of which one trial failed", "Failed: it crashed after 2 h",
    ]  # fmt: skip
    many = tuned(trials=[TRIAL, *({**crashed, "key": str(i)} for i in range(4))])
    assert list(moves_told(moved(TUNED, many), {}, failing(many))) == [
        "Four trials of tuned parts were added, of which four trials failed"
    ]


def test_every_trial_is_a_row_those_taken_back_as_well() -> None:
    back = {**TRIAL, "key": "second", "taken_back": "the fan, it stood still"}
    lines = to_csv(table(tuned(trials=[TRIAL, back]), "trials")).decode().splitlines()
    assert len(lines) == 3
    assert lines[2].endswith(',"the fan, it stood still"')
    assert '"{""load-line"": ""4""}"' in lines[1]


def test_every_key_of_a_trial_that_goes_out_has_its_column() -> None:
    (trials,) = (shape for shape in TUNED_SHAPES if shape.name == "trials")
    columns = [name for name, *_ in trials.columns]
    assert len(columns) == len(set(columns))
    told = {each.name for each in fields(Trial)} - set(OWN)
    assert set(columns) == told | {"setup", "part", "taken_back"}


def test_the_claim_is_a_row_with_its_hours_rooms_and_bound() -> None:
    (row,) = table(TUNED, "tuned").rows
    told = dict(zip((column.name for column in table(TUNED, "tuned").columns), row, strict=True))
    assert (told["hours"], told["failures"], told["room_low_c"], told["most_per_h"]) == (
        24.0,
        0,
        24.0,
        0.1248,
    )
    assert not table(said(claim=None), "tuned").rows


def test_an_edition_without_tuned_parts_has_the_tables_that_it_always_had() -> None:
    assert [each.name for each in tables_of(SMALL)] == [shape.name for shape in SHAPES]


def test_what_comes_out_otherwise_is_named_by_its_part_and_load() -> None:
    again = said(claim={**CLAIM, "hours": 20.0})
    found = recomputed(TUNED, again)
    assert [(each.of, each.name) for each in found.differing] == [("claims of tuned parts", NAME)]
    assert found.matching["advised voltages"] == 1


def test_figures_of_tuned_parts_are_not_missed_in_a_bundle_of_before_they_were_frozen() -> None:
    figure = {"sort": "hours", "value": 24.0, "low": None, "high": None, "words": "24 h", "ranged": "24 h"}
    again = replace(TUNED, figures={"hours of wren by processor under integers": figure})
    assert recomputed(SMALL, again).differing == ()
    assert [each.of for each in recomputed(TUNED, again).differing] == ["figures"]


def test_both_rooms_call_the_figures_of_tuned_parts_alike() -> None:
    own = {Sort.CLAIM, Sort.HOURS, Sort.FAILURES, Sort.BOUND, Sort.CLOCK, Sort.VOLTAGE}
    assert {sort.value for sort in own} | {Sort(of.value).value for of in figured.Of} == OF_TUNING


ADVISED = {
    "sort": "advised", "value": 1045.0, "low": None, "high": None, "words": "1,045 mV", "ranged": "1,045 mV",
}  # fmt: skip


def test_figures_that_no_program_knew_when_an_edition_went_out_do_not_move() -> None:
    again = replace(TUNED, figures={"advised of wren by processor at 5000-mhz under integers": ADVISED})
    assert recomputed(TUNED, again).differing == ()
    assert [each.of for each in recomputed(again, TUNED).differing] == ["figures"]


def test_where_nothing_of_a_part_was_known_its_figures_are_missed() -> None:
    bare = replace(TUNED, tuning=[{**part, "limits": [], "said": []} for part in TUNED.tuning])
    again = replace(bare, figures={"advised of wren by processor at 5000-mhz under integers": ADVISED})
    assert [each.of for each in recomputed(bare, again).differing] == ["figures"]


SETUP: Mapping[str, Any] = {"key": "wren", "state": "mild tune", "stamps": {}}


def told_of(**changes: Any) -> list[str]:
    return [plain(each) for each in state_told(TUNED, {**SETUP, **changes})]


def test_a_machine_that_was_not_measured_at_stock_says_so_and_at_which_settings() -> None:
    state, part, runs = told_of()
    assert state == "Measured as “mild tune”, not at stock."
    assert "stock is 5,000 MHz at 1,050 mV" in part
    assert runs == "At which clock and voltage its runs were made is not on record beyond “mild tune”."
    stamps = {"os": "Tern 9", "processor clock": "5000 MHz", "core voltage": "1050 mV"}
    assert told_of(stamps=stamps)[-1] == (
        "Its runs are stamped with core voltage 1050 mV and processor clock 5,000 MHz."
    )


def stamped(*stamps: Mapping[str, str]) -> str:
    """What is told of settings where runs alone are stamped."""
    runs = [{"setup": "wren", "stamps": each} for each in stamps]
    other = {"setup": "teal", "stamps": {"processor clock": "3000 MHz"}}
    return plain(list(state_told(replace(TUNED, runs=[*runs, other]), SETUP))[-1])


def test_the_clock_that_every_run_is_stamped_with_is_on_record_though_the_setup_notes_none() -> None:
    run = {"os": "Tern 9", "processor clock": "4650 MHz"}
    assert stamped(run, run) == (
        "Its runs are stamped with processor clock 4,650 MHz; their voltage is not on record."
    )
    assert stamped(run, {**run, "processor clock": "4.6 GHz"}) == (
        "Its runs are stamped with processor clock 4,650 MHz or 4,600 MHz; their voltage is not on record."
    )
    assert stamped(run, {"os": "Tern 9"}) == (
        "Its runs are stamped with processor clock 4,650 MHz (not all of them); their voltage is not on "
        "record."
    )


def test_two_states_of_one_build_are_told_apart_over_their_parts_and_one_keeps_its_name() -> None:
    mild = {"key": "mild", "name": "Wren, mild tune", "build_name": "Wren", "parts": []}
    stock = {**mild, "key": "stock", "name": "Wren, stock"}
    both = replace(TUNED, setups=[mild, stock])
    assert [machine_called(both, each) for each in both.setups] == ["Wren, mild tune", "Wren, stock"]
    assert machine_called(replace(TUNED, setups=[mild]), mild) == "Wren"


def test_a_machine_measured_at_stock_says_that_trials_tell_nothing_of_its_results() -> None:
    assert told_of(state="stock")[-1] == "Its runs were made at stock: the trials say nothing of its results."
    assert not list(state_told(SMALL, {"key": "wren", "state": "stock", "stamps": {}}))
