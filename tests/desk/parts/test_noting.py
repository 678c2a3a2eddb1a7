"""Facts are noted, corrected, said to be unknown and undone; the last one stands, all stay on record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.parts.known import PIECES
from evenhand.desk.parts.noting import UNDONE, drafted_facts, note_facts, take_in_facts, undo_facts
from evenhand.desk.parts.telling import facts_ever
from evenhand.desk.study.away import StudyIsAway, put_study_away
from evenhand.errors import BadRecord, NotFound, Overtaken
from evenhand.records.part_facts import PartFact
from evenhand.store.part_facts import facts_of
from evenhand.store.workbench import Workbench

TODAY = date(2031, 5, 4)


def note(wb: Workbench, source: str = "the box", on: str = "", **given: str | None) -> tuple[PartFact, ...]:
    return note_facts(wb, "k6", given, source=source, on=on, now=NOW, today=TODAY)


def standing(wb: Workbench) -> dict[str, Any]:
    return {fact.fact: fact.value for fact in facts_of(wb, ["k6"])}


def test_the_last_that_was_noted_stands_and_the_others_stay(stocked: Workbench) -> None:
    note(stocked, power_w="65", socket="Q5")
    (corrected,) = note(stocked, power_w="88", on="2031-05-01")
    assert (corrected.source, corrected.on) == ("the box", date(2031, 5, 1))
    assert standing(stocked) == {"power_w": 88, "socket": "Q5"}
    assert [fact.value for fact in facts_ever(stocked, "k6")] == [65, "Q5", 88]


def test_what_stands_already_is_not_noted_again(stocked: Workbench) -> None:
    note(stocked, power_w="65")
    assert note(stocked, source="another page", power_w="65 W") == ()


def test_looked_for_and_not_known_is_a_fact_of_its_own(stocked: Workbench) -> None:
    (fact,) = note(stocked, power_w=None)
    assert (fact.value, standing(stocked)) == (None, {"power_w": None})


def test_each_mistake_stands_at_its_fact_and_nothing_is_kept(stocked: Workbench) -> None:
    given = {"power_w": "much", "socket": "Q5", "own_graphics": "", "wings": "2"}
    draft = drafted_facts(stocked, "k6", given, source="", on="2031-05-05", today=TODAY)
    assert [each.field for each in draft.problems] == ["on", "power_w", "own_graphics", "wings", "source"]
    assert "say that it is not known" in draft.problems[2].words
    with pytest.raises(BadRecord, match="much"):
        note(stocked, **given)
    assert standing(stocked) == {}


@pytest.mark.parametrize(("key", "text"), [(PIECES, "2"), ("performance:games", "1,3")])
def test_how_many_there_are_and_how_good_it_is_are_facts_of_any_part(
    stocked: Workbench, key: str, text: str
) -> None:
    (fact,) = note_facts(stocked, "k6", {key: text}, source="counted", on="", now=NOW, today=TODAY)
    assert fact.value in (2, 1.3)
    with pytest.raises(BadRecord, match="0 on"):
        note_facts(stocked, "k6", {key: "-1"}, source="counted", on="", now=NOW, today=TODAY)


def test_a_fact_is_undone_by_noting_what_was_before_and_that_is_undone_alike(stocked: Workbench) -> None:
    note(stocked, power_w="65")
    (second,) = note(stocked, source="a slip", power_w="650")
    (back,) = undo_facts(stocked, "k6", [second.id], now=NOW, today=TODAY)
    assert (back.value, back.source) == (65, "the box")
    with pytest.raises(Overtaken):
        undo_facts(stocked, "k6", [second.id], now=NOW, today=TODAY)
    (again,) = undo_facts(stocked, "k6", [back.id], now=NOW, today=TODAY)
    assert (again.value, again.source) == (650, "a slip")


def test_undoing_the_first_leaves_it_unknown(stocked: Workbench) -> None:
    (first,) = note(stocked, power_w="65")
    (back,) = undo_facts(stocked, "k6", [first.id], now=NOW, today=TODAY)
    assert (back.value, back.source) == (None, UNDONE)
    with pytest.raises(NotFound):
        undo_facts(stocked, "k6", [99], now=NOW, today=TODAY)


def test_a_study_that_is_put_away_keeps_its_parts_as_they_are(stocked: Workbench) -> None:
    put_study_away(stocked, "quay", note="", by="", now=NOW)
    with pytest.raises(StudyIsAway):
        note(stocked, power_w="65")


def test_a_folder_brings_what_was_never_on_record_and_is_no_older(stocked: Workbench) -> None:
    (first,) = note(stocked, power_w="65", on="2031-05-02")
    note(stocked, power_w="88", on="2031-05-02")
    bring = replace(first, id=0)
    older = replace(bring, value=70, on=date(2031, 5, 1))
    take_in_facts(stocked, [bring, older], now=NOW)
    assert standing(stocked) == {"power_w": 88}, (
        "one that was corrected stays so, and an older one is no news"
    )
    take_in_facts(stocked, [replace(bring, value=90)], now=NOW)
    assert standing(stocked) == {"power_w": 90}
