"""A little more room: each is of facts and rules that there are, adds what it says, and bars nothing."""

from __future__ import annotations

import pytest
from tests.fit.test_proof import BUILDS, CATALOGUE

from evenhand.fit.answers import Answer, worst
from evenhand.fit.asking import asked
from evenhand.fit.known import checked, fact_kinds
from evenhand.fit.reading import Item
from evenhand.fit.rooms import Room, rooms
from evenhand.fit.rules import rules

RULES = {rule.key: rule for rule in rules()}


def answer(room: Room, parts: list[Item]) -> Answer | None:
    """What the rules of a room come to; None where none is asked."""
    found = [fit.answer for key in room.rules for fit in asked(RULES[key], parts)]
    return worst(found) if found else None


@pytest.mark.parametrize("room", rooms(), ids=lambda room: room.key)
def test_a_room_is_of_facts_of_its_kind_and_of_rules_about_it(room: Room) -> None:
    facts = fact_kinds()[room.of]
    assert {*room.add, *room.place, *room.least} <= facts.keys()
    assert room.rules
    assert all(room.of in RULES[key].of or RULES[key].work for key in room.rules)
    for fact, place in room.place.items():
        assert set(place) == set(facts[fact].of)
        checked(room.of, {fact: [place]}, where=room.key)


def test_every_key_is_there_once_and_told_in_words() -> None:
    assert len({room.key for room in rooms()}) == len(rooms())
    assert len({room.said for room in rooms()}) == len(rooms())


def test_what_is_known_grows_and_what_is_not_stays_unknown() -> None:
    slot = next(room for room in rooms() if room.key == "memory-slot")
    two, none = (
        Item(key="b", kind="board", name="B", facts=facts)
        for facts in ({"memory_slots": 2}, {"sata_ports": 4})
    )
    assert slot.given(two).facts == {"memory_slots": 3}
    assert slot.given(none).facts == none.facts
    plug = next(room for room in rooms() if room.key == "lead-16pin")
    bare, rated = (
        Item(key="s", kind="supply", name="S", facts=facts)
        for facts in ({"leads_16pin": 0}, {"leads_16pin": 1, "lead_16pin_w": 450})
    )
    assert plug.given(bare).facts == {"leads_16pin": 1, "lead_16pin_w": 600}
    assert plug.given(rated).facts == {"leads_16pin": 2, "lead_16pin_w": 600}
    assert plug.given(two) == two


@pytest.mark.parametrize("room", rooms(), ids=lambda room: room.key)
def test_more_room_never_answers_worse(room: Room) -> None:
    for build in BUILDS:
        parts = [CATALOGUE[key] for key in build["parts"]]
        before, after = answer(room, parts), answer(room, [room.given(part) for part in parts])
        if before is not None and after is not None:
            assert worst((before, after)) is before, build["name"]


def test_most_rooms_turn_some_misfit_of_the_invented_builds() -> None:
    turned = {
        room.key
        for room in rooms() for build in BUILDS
        for parts in ([CATALOGUE[key] for key in build["parts"]],)
        if answer(room, parts) is Answer.MISFIT
        and answer(room, [room.given(part) for part in parts]) is Answer.FITS
    }  # fmt: skip
    assert len(turned) >= len(rooms()) // 2, turned
