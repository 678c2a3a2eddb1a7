"""Sound readings are added, taken back and put back by hand; what is close to the room's is told."""

from __future__ import annotations

from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.study.listening import (
    add_reading,
    near_room,
    put_back,
    readings_told,
    take_back,
    unlike_others,
)
from evenhand.errors import BadRecord, NotFound
from evenhand.store.workbench import Workbench

READ: dict[str, Any] = {"setup": "wren", "level_db": 38.5, "background_db": 27.0}


def test_a_reading_is_kept_with_all_that_was_said(stocked: Workbench) -> None:
    given = {
        **READ,
        "test": "causeway",
        "temperatures_c": {"processor": 78.0},
        "at": "2031-05-04T10:40:00+02:00",
    }
    kept = add_reading(stocked, "quay", given, now=NOW)
    assert readings_told(stocked, "quay", "wren") == (kept,)
    assert (kept.test, kept.temperatures_c, kept.weighting) == ("causeway", {"processor": 78.0}, "A")


def test_the_same_numbers_again_are_another_reading(stocked: Workbench) -> None:
    for _ in range(2):
        add_reading(stocked, "quay", READ, now=NOW)
    assert len(readings_told(stocked, "quay")) == 2


def test_one_that_was_taken_back_is_put_back(stocked: Workbench) -> None:
    number = add_reading(stocked, "quay", READ, now=NOW).id
    take_back(stocked, "quay", number, now=NOW)
    assert readings_told(stocked, "quay") == ()
    with pytest.raises(NotFound, match="was taken back before"):
        take_back(stocked, "quay", number, now=NOW)
    back = put_back(stocked, "quay", number, now=NOW)
    assert put_back(stocked, "quay", back.id, now=NOW) == back, "it stands already"
    assert [each.level_db for each in readings_told(stocked, "quay")] == [38.5]


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"setup": "heron"}, "setup"),
        ({"test": "nothing"}, "test"),
        ({"level_db": 400.0}, "level_db"),
        ({"background_db": 50.0}, "background_db"),
        ({"at": "at noon"}, "at"),
        ({"temperatures_c": {"processor": 900.0}}, "temperatures_c.processor"),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field(
    stocked: Workbench, given: dict[str, Any], field: str
) -> None:
    with pytest.raises(BadRecord) as refused:
        add_reading(stocked, "quay", {**READ, **given}, now=NOW)
    assert refused.value.where == field


def test_a_level_close_to_the_room_is_told() -> None:
    assert near_room(29.0, 27.5).startswith("Only 1.5\u00a0dB over the room: under 3\u00a0dB")
    assert near_room(30.0, 27.0) == near_room(30.0, None) == near_room(27.0, 30.0) == ""


def test_readings_of_other_studies_are_not_found(stocked: Workbench) -> None:
    with pytest.raises(NotFound, match="no reading 99"):
        take_back(stocked, "quay", 99, now=NOW)
    with pytest.raises(NotFound, match="'heron' is not a setup"):
        readings_told(stocked, "quay", "heron")


def test_a_reading_from_elsewhere_or_with_another_filter_is_told_as_it_comes_in(stocked: Workbench) -> None:
    for setup in ("wren", "plover"):
        add_reading(stocked, "quay", {**READ, "setup": setup, "distance_m": 0.6}, now=NOW)
    far = add_reading(stocked, "quay", {**READ, "distance_m": 2.0}, now=NOW)
    unlike = add_reading(stocked, "quay", {**READ, "weighting": "C", "distance_m": 0.6}, now=NOW)
    every = readings_told(stocked, "quay")
    told = {each.id: unlike_others(each, every).replace("\u00a0", " ") for each in every}
    assert told[far.id].startswith("Read from 2 m, the others from 0.6 m: distance alone")
    assert told[unlike.id].startswith("Read with the filter C, the others with A")
    assert [words for number, words in told.items() if number not in (far.id, unlike.id)] == ["", ""]


def test_a_reading_in_another_test_may_be_made_from_elsewhere(stocked: Workbench) -> None:
    add_reading(stocked, "quay", {**READ, "distance_m": 0.6}, now=NOW)
    other = add_reading(stocked, "quay", {**READ, "test": "causeway", "distance_m": 2.0}, now=NOW)
    unknown = add_reading(stocked, "quay", READ, now=NOW)
    every = readings_told(stocked, "quay")
    assert unlike_others(other, every) == unlike_others(unknown, every) == ""
