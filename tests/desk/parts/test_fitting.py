"""What a build's fit rests on: facts on record, and what was read at the wall."""

from __future__ import annotations

from datetime import date

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.on_record import load_study
from evenhand.desk.parts.catalogue import add_part, catalogue
from evenhand.desk.parts.fitting import Fitting, fittings_named
from evenhand.desk.parts.items import items_of
from evenhand.desk.parts.noting import note_facts
from evenhand.desk.runs.run_readings import note_run
from evenhand.desk.runs.said import Said
from evenhand.desk.study.building import NamedPart, change_build, change_part
from evenhand.errors import BadRecord
from evenhand.fit.answers import Answer
from evenhand.store.workbench import Workbench

TODAY = date(2031, 5, 4)
PARTS = {"graphics": "Harrowfen L20", "cooler": "Brellow Breeze", "case": "Osk Crate", "supply": "Osk 450"}


@pytest.fixture
def built(stocked: Workbench) -> Workbench:
    """Wren with a processor, a card, a cooler, a case and a supply, of which nothing is known."""
    parts = ["k6", *(NamedPart(kind=kind, name=name) for kind, name in PARTS.items())]
    change_build(stocked, "wren", {"parts": parts}, now=NOW)
    return stocked


def note(wb: Workbench, part: str, **facts: str | None) -> None:
    note_facts(wb, part, facts, source="the box", on="", now=NOW, today=TODAY)


def wren(wb: Workbench) -> Fitting:
    (found,) = fittings_named(wb, "wren")
    return found


def test_what_nobody_noted_is_unknown_with_what_to_look_up(built: Workbench) -> None:
    found = wren(built)
    assert found.whole is Answer.UNKNOWN
    assert found.said.startswith("Unknown: ")
    lacks = {(seen.part.key, seen.fact.key): seen.fact.where for seen in found.missing}
    assert lacks["osk-crate", "graphics_length_mm"] == "on the maker's page of the case"


def test_a_later_fact_takes_the_place_of_an_earlier_one_and_one_that_was_withdrawn_is_unknown(
    built: Workbench,
) -> None:
    note(built, "brellow-breeze", way="air", height_mm="150")
    note(built, "osk-crate", cooler_height_mm="155")
    height = next(fit for fit in wren(built).found if fit.rule.key == "cooler-height")
    assert height.answer is Answer.FITS
    note(built, "brellow-breeze", height_mm="158")
    assert "Does the side panel close over the cooler? No." in wren(built).said
    note(built, "brellow-breeze", height_mm=None)
    assert wren(built).answer is Answer.UNKNOWN


def test_a_part_that_is_called_another_kind_since_knows_only_what_that_kind_may_have(
    built: Workbench,
) -> None:
    note(built, "brellow-breeze", way="air", power_w="130")
    change_part(built, "brellow-breeze", {"kind": "supply"}, now=NOW)
    (item,) = items_of(built, ["brellow-breeze"])
    assert item.facts == {"power_w": 130}


def test_watts_at_the_wall_count_whole_unless_the_supply_says_what_it_hands_on(built: Workbench) -> None:
    note(built, "k6", power_w="65")
    note(built, "harrowfen-l20", power_w="115")
    note(built, "osk-450", power_w="450", excursions="no")
    assert wren(built).wall is None
    run = next(each.run for each in load_study(built, "quay").runs if each.run.setup == "wren")
    note_run(built, run.id, "wall_w", "300", said=Said(now=NOW, by="me"))
    assert wren(built).budget.measured_w == 300.0  # type: ignore[union-attr]
    assert wren(built).wall.efficiency is None  # type: ignore[union-attr]
    note(built, "osk-450", efficiency="90")
    assert wren(built).budget.over[0].drawn_w == 270.0  # type: ignore[union-attr]


def test_power_is_unknown_without_a_supply_and_never_a_fit(stocked: Workbench) -> None:
    assert wren(stocked).power is Answer.UNKNOWN
    assert wren(stocked).power_said == "Power: unknown. No supply is on record."


def test_the_catalogue_has_every_part_by_kind_with_its_builds(built: Workbench) -> None:
    add_part(built, {"kind": "screen", "name": "Nimtal Pane"}, now=NOW)
    note(built, "osk-crate", slots="7")
    listed = catalogue(built)
    assert [each.part.kind for each in listed] == [
        "processor", "graphics", "supply", "case", "cooler", "screen",
    ]  # fmt: skip
    crate, pane = listed[3], listed[5]
    assert ([build.key for build in crate.builds], crate.known) == (["wren"], 1)
    assert (pane.builds, pane.known, pane.asked) == ((), 0, 1)


def test_the_same_part_twice_is_asked_about(built: Workbench) -> None:
    with pytest.raises(BadRecord, match="is it the same part"):
        add_part(built, {"kind": "case", "name": "osk-crate"}, now=NOW)
    change_part(built, "brellow-breeze", {"kind": "case", "name": "OSK crate"}, now=NOW)
    assert {each.part.key: each.alike for each in catalogue(built)}["osk-crate"] == ("brellow-breeze",)
