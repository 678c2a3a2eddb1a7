"""Builds, parts and setups are written down once and shared; each build of a study wears its own colour."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from evenhand.desk.opening import Desk
from evenhand.desk.study.briefing import start_study
from evenhand.desk.study.building import (
    NamedPart,
    add_build,
    add_setup,
    change_build,
    change_part,
    change_setup,
    drop_setup,
    free_slots,
    take_setup,
)
from evenhand.desk.study.undoing import undo
from evenhand.desk.study.used_by import users_of
from evenhand.errors import BadRecord, NotFound
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.store import shelves

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
K6 = NamedPart(kind="processor", name="Brellow K6")


def put(wb: Desk, study: str, name: str, slot: int, **fields: Any) -> str:
    """A build with one stock setup."""
    return add_build(wb, study, {"name": name, "slot": slot, **fields}, setup={}, now=NOW).key


@pytest.fixture
def study(wb: Desk) -> str:
    """A study with one build."""
    key = start_study(wb, {"title": "Two desks"}, now=NOW).key
    put(wb, key, "Wren", 1, parts=[K6])
    return key


def test_a_build_comes_with_its_parts_and_its_first_setup(wb: Desk, study: str) -> None:
    assert shelves.one(wb, Study, study).setups == ("wren-stock",)
    assert shelves.one(wb, Setup, "wren-stock").name == "Wren, stock"
    assert shelves.one(wb, Build, "wren").parts == ("brellow-k6",)
    assert shelves.one(wb, Part, "brellow-k6").kind == "processor"


def test_a_part_that_is_known_is_used_again(wb: Desk, study: str) -> None:
    put(wb, study, "Plover", 2, parts=[K6])
    assert len(shelves.every(wb, Part)) == 1


def test_a_colour_is_worn_once(wb: Desk, study: str) -> None:
    assert free_slots(wb, study) == (2, 3, 4, 5)
    assert free_slots(wb, study, of="wren") == (1, 2, 3, 4, 5)
    with pytest.raises(BadRecord, match="worn by 'wren' already") as refused:
        put(wb, study, "Plover", 1)
    assert refused.value.where == "slot"
    assert [build.key for build in shelves.every(wb, Build)] == ["wren"]


def test_a_build_keeps_its_colour_from_others_in_every_study(wb: Desk, study: str) -> None:
    put(wb, study, "Plover", 2)
    other = start_study(wb, {"title": "Another"}, now=NOW).key
    take_setup(wb, other, "wren-stock", now=NOW)
    put(wb, other, "Dunlin", 3)
    for worn in (2, 3):
        with pytest.raises(BadRecord, match=f"slot {worn} is worn"):
            change_build(wb, "wren", {"slot": worn}, now=NOW)


@pytest.mark.parametrize(
    ("given", "field"), [({"name": ""}, "name"), ({"slot": 6}, "slot"), ({"parts": ["gone"]}, "parts")]
)
def test_a_build_that_cannot_be_used_is_told_at_its_field(
    wb: Desk, study: str, given: dict[str, Any], field: str
) -> None:
    with pytest.raises(BadRecord) as refused:
        change_build(wb, "wren", given, now=NOW)
    assert refused.value.where == field


def test_a_build_without_a_sound_setup_is_not_half_stored(wb: Desk, study: str) -> None:
    with pytest.raises(BadRecord) as refused:
        add_build(wb, study, {"name": "Plover", "slot": 2}, setup={"stamps": {"": "31.4"}}, now=NOW)
    assert refused.value.where == "stamps"
    assert [build.key for build in shelves.every(wb, Build)] == ["wren"]


def test_a_setup_is_called_after_its_state_until_it_has_a_name(wb: Desk, study: str) -> None:
    key = add_setup(wb, study, {"build": "wren", "state": "mild tune"}, now=NOW).key
    assert key == "wren-mild-tune"
    change_setup(wb, key, {"state": "cool tune"}, now=NOW)
    assert shelves.one(wb, Setup, key).name == "Wren, cool tune"
    change_setup(wb, key, {"name": "The quiet one"}, now=NOW)
    change_setup(wb, key, {"state": "mild tune", "stamps": {"driver": "31.4"}}, now=NOW)
    assert shelves.one(wb, Setup, key).name == "The quiet one"


def test_a_setup_is_dropped_taken_back_and_never_lost(wb: Desk, study: str) -> None:
    drop_setup(wb, study, "wren-stock", now=NOW)
    assert shelves.one(wb, Study, study).setups == ()
    undo(wb, "studies", study, now=NOW)
    assert shelves.one(wb, Study, study).setups == ("wren-stock",)
    with pytest.raises(NotFound, match="not a setup of this study"):
        drop_setup(wb, study, "wren-stok", now=NOW)


def test_a_part_is_corrected_in_every_build_and_undone(wb: Desk, study: str) -> None:
    put(wb, study, "Plover", 2, parts=[K6])
    change_part(wb, "brellow-k6", {"name": "Brellow K6 b", "note": "a loan"}, now=NOW)
    assert shelves.one(wb, Part, "brellow-k6").note == "a loan"
    undo(wb, "parts", "brellow-k6", now=NOW)
    assert shelves.one(wb, Part, "brellow-k6") == Part(key="brellow-k6", kind="processor", name="Brellow K6")


def test_the_same_parts_in_another_order_leave_a_build_as_it_is(wb: Desk, study: str) -> None:
    put(wb, study, "Plover", 2, parts=[K6, NamedPart(kind="memory", name="Aldin 16")])
    before = shelves.one(wb, Build, "plover")
    kept = change_build(wb, "plover", {"parts": list(before.parts[::-1])}, now=NOW)
    assert (kept.change, shelves.one(wb, Build, "plover")) == (0, before)
    assert change_build(wb, "plover", {"parts": [*before.parts, before.parts[0]]}, now=NOW).change > 0


def test_it_is_known_which_studies_share_a_record(wb: Desk, study: str) -> None:
    other = start_study(wb, {"title": "Another"}, now=NOW).key
    part, build = shelves.one(wb, Part, "brellow-k6"), shelves.one(wb, Build, "wren")
    assert [each.key for each in users_of(wb, part)] == [study]
    take_setup(wb, other, "wren-stock", now=NOW)
    assert [each.key for each in users_of(wb, part)] == [study, other]
    assert [each.key for each in users_of(wb, build)] == [study, other]
    assert [each.key for each in users_of(wb, shelves.one(wb, Setup, "wren-stock"))] == [study, other]
