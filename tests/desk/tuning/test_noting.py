"""What is noted of a tuned part: bad input is told at its field, and nothing past the maker's limit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import NOW, Folder
from tests.desk.tuning.small_chip import LIMIT, TRIAL, TUNED, lay_limit, lay_part, tried

from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.pages.tuning import Looked, tuning_page
from evenhand.desk.study.away import put_study_away
from evenhand.desk.tuning import noting
from evenhand.desk.tuning.coming import next_trial
from evenhand.errors import BadRecord, EvenhandError, NotFound
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench


@pytest.fixture
def bench(bring: Bring, folder: Folder) -> Workbench:
    return bring(folder)


def refused(act: Callable[[], object]) -> tuple[str, str, str]:
    """Where, what and what next."""
    with pytest.raises(EvenhandError) as told:
        act()
    return told.value.where, told.value.found, told.value.todo


def noted(wb: Workbench, **changes: Any) -> noting.Noted:
    return noting.note_trial(wb, {**TRIAL, **changes}, now=NOW)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"setup": "wran"}, "setup", "not a setup"),
        ({"part": "procesor"}, "part", "no part of the kind"),
        ({"stock_clock_mhz": -5}, "stock_clock_mhz", "-5 cannot be"),
        ({"stock_clock_mhz": 5.0}, "stock_clock_mhz", "looks like GHz"),
        ({"part": " "}, "part", "nothing stands here"),
        ({"stock_voltage_mv": 1.05}, "stock_voltage_mv", ""),
        ({"hottest_room_c": 300}, "hottest_room_c", ""),
        ({"voltage_step_mv": None}, "voltage_step_mv", "missing"),
        ({"voltage_step_mv": 0.005}, "voltage_step_mv", "looks like volts"),
    ],
)
def test_a_part_that_cannot_be_is_refused_at_its_field(
    bench: Workbench, changes: dict[str, Any], field: str, words: str
) -> None:
    where, found, _ = refused(lambda: noting.note_tuned(bench, {**TUNED, **changes}, now=NOW))
    assert where == field
    assert words in found


def test_where_the_voltage_is_left_alone_trials_name_only_the_clock(bench: Workbench) -> None:
    part = noting.note_tuned(bench, {**TUNED, "voltage_step_mv": 0.0, "stock_voltage_mv": None}, now=NOW)
    assert (part.clock_alone, part.offset) == (True, True)
    kept = noted(bench, voltage_mv=None, outcome="error", errors=5, corrected=4).trial
    assert (kept.voltage_mv, kept.errors, kept.corrected) == (0.0, 5, 4)
    where, found, todo = refused(lambda: noted(bench, voltage_mv=1050.0))
    assert (where, "left alone" in found, "as a setting" in todo) == ("voltage_mv", True, True)
    where, found, _ = refused(lambda: noted(bench, voltage_mv=None, errors=2, corrected=3))
    assert (where, "counted in all" in found) == ("corrected", True)


def test_elsewhere_a_trial_has_its_voltage(bench: Workbench) -> None:
    lay_part(bench)
    where, found, _ = refused(lambda: noted(bench, voltage_mv=None))
    assert (where, "missing" in found) == ("voltage_mv", True)


def test_what_is_not_given_again_stays(bench: Workbench) -> None:
    lay_part(bench)
    given = {"setup": "wren", "part": "processor", "hottest_room_c": 31.0}
    now = noting.note_tuned(bench, given, now=NOW)
    assert (now.hottest_room_c, now.stock_voltage_mv, len(now.limits)) == (31.0, 1050.0, 1)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"most": 1.15}, "most"),
        ({"most": 1000.0}, "most"),
        ({"most": -1.0}, "most"),
        ({"most": 12500.0}, "most"),
        ({"quantity": "temperature", "most": 95000.0}, "most"),
        ({"quantity": "power", "most": 142000.0}, "most"),
        ({"quantity": "volts"}, "quantity"),
        ({"source": " "}, "source"),
        ({"read_on": "2031-05-05"}, "read_on"),
        ({"read_on": "yesterday"}, "read_on"),
    ],
)
def test_a_limit_needs_its_unit_its_source_and_a_day_that_has_come(
    bench: Workbench, changes: dict[str, Any], field: str
) -> None:
    noting.note_tuned(bench, TUNED, now=NOW)
    assert refused(lambda: lay_limit(bench, **changes))[0] == field


def test_a_limit_cannot_be_held_against_offsets_without_the_voltage_at_stock(bench: Workbench) -> None:
    noting.note_tuned(bench, {**TUNED, "offset": True, "stock_voltage_mv": None}, now=NOW)
    where, _, todo = refused(lambda: lay_limit(bench))
    assert where == "most"
    assert "stock_voltage_mv" in todo


def test_a_voltage_past_the_limit_is_refused_with_its_source(bench: Workbench) -> None:
    lay_part(bench)
    where, found, todo = refused(lambda: noted(bench, voltage_mv=1255.0))
    assert where == "voltage_mv"
    assert LIMIT["source"] in found
    assert "do not go there" in todo
    assert trial_store.trials_of(bench, ["wren"]) == ()
    assert noted(bench, voltage_mv=1250.0).trial.id, "the limit itself is allowed"


def test_an_offset_past_the_limit_is_refused_too(bench: Workbench) -> None:
    lay_part(bench, offset=True)
    assert refused(lambda: noted(bench, voltage_mv=205.0))[0] == "voltage_mv"
    assert noted(bench, voltage_mv=-40.0).trial.voltage_mv == -40.0


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"hours": -0.5}, "hours"),
        ({"watts": -4.0, "watts_at": "wall"}, "watts"),
        ({"watts": 141.5}, "watts_at"),
        ({"watts_at": "wall"}, "watts"),
        ({"watts": 141.5, "watts_at": "socket"}, "watts_at"),
        ({"at": "2031-05-06T10:00:00+00:00"}, "at"),
        ({"at": "2031-05-04T10:00:00"}, "at"),
        ({"setup": "wran"}, "setup"),
        ({"part": "memory"}, "part"),
        ({"voltage_mv": -30.0}, "voltage_mv"),
        ({"voltage_mv": 1.05}, "voltage_mv"),
        ({"voltage_mv": float("nan")}, "voltage_mv"),
        ({"outcome": "fine"}, "outcome"),
        ({"found_after_h": 2.0}, "found_after_h"),
        ({"errors": -1}, "errors"),
        ({"errors": 3}, "outcome"),
        ({"load": " "}, "load"),
        ({"hours": 0.5, "planned_h": 2.0}, "planned_h"),
    ],
)
def test_a_trial_that_cannot_be_is_refused_at_its_field(
    bench: Workbench, changes: dict[str, Any], field: str
) -> None:
    lay_part(bench)
    where, found, todo = refused(lambda: noted(bench, **changes))
    assert where == field
    assert found
    assert todo


def test_offsets_and_whole_voltages_are_not_mixed_up(bench: Workbench) -> None:
    lay_part(bench)
    noted(bench)
    where, found, _ = refused(
        lambda: noting.note_tuned(bench, {"setup": "wren", "part": "processor", "offset": True}, now=NOW)
    )
    assert where == "offset"
    assert "trial 1 is on record" in found


def test_the_same_key_is_one_trial_and_the_same_facts_without_one_are_two(bench: Workbench) -> None:
    lay_part(bench)
    first, again = noted(bench, key="a"), noted(bench, key="a")
    assert (first.again, again.again, again.trial) == (False, True, first.trial)
    assert noted(bench).trial.id != noted(bench).trial.id
    with pytest.raises(BadRecord):
        noted(bench, key="a", hours=0.2)


def test_a_trial_sent_again_is_not_held_against_a_limit_noted_since(bench: Workbench) -> None:
    lay_part(bench)
    first = noted(bench, key="a", voltage_mv=1140.0)
    lay_limit(bench, most=1100.0)
    assert noted(bench, key="a", voltage_mv=1140.0).trial == first.trial


def test_taking_back_needs_a_reason_and_the_right_part(bench: Workbench) -> None:
    lay_part(bench)
    (trial,) = tried(bench, [TRIAL])

    def back(setup: str, number: int, reason: str) -> object:
        return noting.take_back_trial(bench, setup, "processor", number, reason, now=NOW)

    assert refused(lambda: back("wren", trial.id, " "))[0] == "reason"
    with pytest.raises(NotFound):
        back("wren", 99, "a slip")
    with pytest.raises(NotFound):
        back("plover", trial.id, "a slip")
    back("wren", trial.id, "a slip")
    assert trial_store.trials_of(bench, ["wren"]) == ()


def test_a_limit_that_is_taken_back_is_held_against_nothing(bench: Workbench) -> None:
    lay_part(bench)
    low = lay_limit(bench, most=1060.0)
    assert refused(lambda: noted(bench, voltage_mv=1100.0))[0] == "voltage_mv"
    noting.take_back_limit(bench, "wren", "processor", low.id, "another part's", now=NOW)
    assert noted(bench, voltage_mv=1100.0).trial.id
    with pytest.raises(NotFound):
        noting.take_back_limit(bench, "wren", "processor", low.id, "again", now=NOW)


def test_of_a_study_that_is_put_away_nothing_is_noted(bench: Workbench) -> None:
    lay_part(bench)
    put_study_away(bench, "quay", note="", by="", now=NOW)
    for act in (lambda: noted(bench), lambda: lay_limit(bench, most=1100.0), lambda: lay_part(bench)):
        assert "put away" in refused(act)[1] + refused(act)[2]


def test_what_was_taken_back_stays_so_when_its_folder_comes_again(bench: Workbench, tmp_path: Path) -> None:
    lay_part(bench)
    (trial,) = tried(bench, [TRIAL])
    (limit,) = tuned_store.tuned_parts(bench, ["wren"])[0].limits
    export_study(bench, "quay", tmp_path / "out")
    noting.take_back_trial(bench, "wren", "processor", trial.id, "a slip", now=NOW)
    noting.take_back_limit(bench, "wren", "processor", limit.id, "a slip", now=NOW)
    import_folder(bench, tmp_path / "out", now=NOW)
    assert trial_store.trials_of(bench, ["wren"]) == ()
    assert tuned_store.tuned_parts(bench, ["wren"])[0].limits == ()


def test_a_folder_from_the_future_is_refused_before_anything_is_kept(
    bench: Workbench, tmp_path: Path
) -> None:
    lay_part(bench)
    (trial,) = tried(bench, [TRIAL])
    noting.take_back_trial(bench, "wren", "processor", trial.id, "a slip", now=NOW)
    noting.put_back_trial(bench, "wren", "processor", trial.id, "none", now=NOW)
    export_study(bench, "quay", tmp_path / "out")
    file = tmp_path / "out" / "study.toml"
    kept = file.read_text(encoding="utf-8")
    for was, becomes, place in (
        ("read_on = 2031-05-04", "read_on = 2099-05-04", "limits 1, read_on"),
        ('reason = "none", at = 2031', 'reason = "none", at = 2099', "turns 2, at"),
        ('load = "integers"\n', 'load = "integers"\nat = 2099-11-14T09:00:00Z\n', "[[trials]] 1, at"),
    ):
        assert was in kept
        file.write_text(kept.replace(was, becomes), encoding="utf-8")
        with pytest.raises(BadRecord, match="this day is still to come") as told:
            import_folder(bench, file.parent, now=NOW, until=NOW)
        assert place in told.value.where
        assert "line " in told.value.where
        assert len(trial_store.trials_of(bench, ["wren"], ever=True)) == 1
    file.write_text(kept, encoding="utf-8")
    import_folder(bench, file.parent, now=NOW, until=NOW)


@pytest.mark.parametrize("step", [1e-5, 1e-9])
def test_a_step_that_was_noted_before_steps_had_a_least_one_is_told_with_what_to_do(
    bench: Workbench, step: float
) -> None:
    lay_part(bench)
    tried(bench, [TRIAL])
    before = tuned_store.tuned_parts(bench, ["wren"])[0]
    tuned_store.save_tuned(bench, replace(before, voltage_step_mv=step), at=NOW)
    coming = next_trial(bench, "wren", "processor")
    assert "The steps that are noted are so fine" in coming["why"]
    assert "See by how many MHz and mV the firmware steps" in coming["why"]
    assert tuning_page(bench, "quay", Looked()).part is not None
    noting.note_tuned(bench, {"setup": "wren", "part": "processor", "voltage_step_mv": 5.0}, now=NOW)
    assert "why" not in next_trial(bench, "wren", "processor")


def test_a_key_of_two_lines_is_none(bench: Workbench) -> None:
    lay_part(bench)
    with pytest.raises(BadRecord, match="the end of a line"):
        noted(bench, key="a\nb")
