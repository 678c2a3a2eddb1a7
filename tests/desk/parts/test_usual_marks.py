"""How good a part is at a role: far from others of its kind, it is asked about and kept when that is said."""

from __future__ import annotations

from datetime import date

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.parts.catalogue import add_part
from evenhand.desk.parts.noting import drafted_facts, note_facts
from evenhand.errors import BadRecord
from evenhand.store.part_facts import facts_of
from evenhand.store.workbench import Workbench

TODAY = date(2031, 5, 4)
GAMES = "performance:games"


@pytest.fixture
def card(wb: Workbench) -> str:
    """A card without a mark beside two of 1 and 1.5; a processor of 40 is none of its kind."""
    for kind, name, mark in (("graphics", "A", "1"), ("graphics", "B", "1.5"), ("processor", "C", "40")):
        key = add_part(wb, {"kind": kind, "name": name}, now=NOW).key
        note_facts(wb, key, {GAMES: mark}, source="ours", on="", now=NOW, today=TODAY)
    return add_part(wb, {"kind": "graphics", "name": "D"}, now=NOW).key


def note(wb: Workbench, card: str, mark: str, *, sure: bool = False) -> None:
    note_facts(wb, card, {GAMES: mark}, source="ours", on="", now=NOW, today=TODAY, sure=sure)


@pytest.mark.parametrize(
    ("mark", "asked"),
    [
        ("146", "146 is 97 times 1.5, the highest of any other graphics here: is that so?"),
        ("4.51", "4.51 is more than 3 times 1.5, the highest of any other graphics here: is that so?"),
        ("0.33", "0.33 is less than a third of 1, the lowest of any other graphics here: is that so?"),
        ("4.5", ""),
        ("0.34", ""),
    ],
)
def test_a_mark_far_from_its_kind_is_asked_about(wb: Workbench, card: str, mark: str, asked: str) -> None:
    draft = drafted_facts(wb, card, {GAMES: mark}, source="ours", on="", today=TODAY)
    assert "".join(each.found for each in draft.asks) == asked
    if asked:
        with pytest.raises(BadRecord, match="is that so"):
            note(wb, card, mark)
        assert not facts_of(wb, [card])
    note(wb, card, mark, sure=True)
    assert [fact.value for fact in facts_of(wb, [card])] == [float(mark)]


def test_the_first_of_its_kind_and_what_is_no_mark_are_held_against_nothing(wb: Workbench, card: str) -> None:
    first = add_part(wb, {"kind": "memory", "name": "E"}, now=NOW).key
    note(wb, first, "146")
    note_facts(wb, card, {"length_mm": "310", GAMES: None}, source="a", on="", now=NOW, today=TODAY)
    assert {fact.fact for fact in facts_of(wb, [card])} == {"length_mm", GAMES}
