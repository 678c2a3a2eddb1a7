"""A table of parts: its columns are proposed, its rows are parts with facts or say why not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.parts.catalogue import add_part
from evenhand.desk.parts.noting import note_facts, undo_many
from evenhand.desk.parts.part_roles import columns_seem
from evenhand.desk.parts.part_sheets import PartsRead, keep_parts, read_parts, reading_parts
from evenhand.desk.parts.remembered import parts_at_first
from evenhand.errors import BadRecord
from evenhand.folders.sheets import read_sheet
from evenhand.records.builds import Part
from evenhand.store import shelves
from evenhand.store.part_facts import facts_of
from evenhand.store.workbench import Workbench

TODAY = date(2031, 5, 4)
TABLE = """Model;Way;Height (mm);Sockets;Heat;Source
Brellow Breeze;air;155,5;Q5, Q6;unknown;a ruler
Brellow Gale;liquid;;none;180;a box
"""
ROLES = {0: "name", 1: "way", 2: "height_mm", 3: "sockets", 5: "source"}


def read(wb: Workbench, text: str, kind: str = "") -> PartsRead:
    sheet = read_sheet(text, name="coolers.csv")
    return read_parts(wb, sheet, parts_at_first(wb, sheet, kind).said, today=TODAY)


def keep(wb: Workbench, text: str) -> list[int]:
    sheet = read_sheet(text, name="coolers.csv")
    once = reading_parts(wb, sheet, parts_at_first(wb, sheet, "cooler").said, today=TODAY)
    return keep_parts(wb, once, kind="cooler", now=NOW)[1]


def known(wb: Workbench, part: str) -> dict[str, Any]:
    return {fact.fact: fact.value for fact in facts_of(wb, [part])}


def test_kind_and_columns_are_proposed_from_the_header(wb: Workbench) -> None:
    said = parts_at_first(wb, read_sheet(TABLE, name="coolers.csv"), "").said
    assert said.kind == "cooler"
    assert {at: role for at, role in said.columns.items() if role} == ROLES


def test_a_column_in_another_unit_is_not_taken_for_a_fact() -> None:
    sheet = read_sheet("Name;Height (cm)\nBrellow Breeze;15,5\n", name="coolers.csv")
    _, height = columns_seem(sheet, "cooler")
    assert (height.role, height.reason) == ("", "its header says cm, and mm is asked for")


def test_a_table_adds_parts_that_are_not_there_and_notes_what_it_says_otherwise(wb: Workbench) -> None:
    key = add_part(wb, {"kind": "cooler", "name": "brellow breeze"}, now=NOW).key
    note_facts(wb, key, {"way": "air", "height_mm": "150"}, source="the box", on="", now=NOW, today=TODAY)
    keep(wb, TABLE)
    assert known(wb, key) == {"way": "air", "height_mm": 155.5, "sockets": ["Q5", "Q6"]}
    assert known(wb, "brellow-gale") == {"way": "liquid", "sockets": []}
    sources = {fact.fact: fact.source for fact in facts_of(wb, [key, "brellow-gale"]) if fact.part == key}
    assert (sources["way"], sources["height_mm"]) == ("the box", "a ruler")
    assert keep(wb, TABLE) == [], "the very same table again adds nothing"


def test_what_a_table_brought_is_undone_part_by_part_at_once(wb: Workbench) -> None:
    key = add_part(wb, {"kind": "cooler", "name": "Brellow Breeze"}, now=NOW).key
    note_facts(wb, key, {"height_mm": "150"}, source="the box", on="", now=NOW, today=TODAY)
    undo_many(wb, keep(wb, TABLE), now=NOW, today=TODAY)
    assert known(wb, key) == {"way": None, "height_mm": 150, "sockets": None}
    assert known(wb, "brellow-gale") == {"way": None, "sockets": None}


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        (";air;155;;;", "it names no part"),
        ("Brellow Mist;water;155;;;", "way of cooling: ‘water’ cannot be read; write air or liquid"),
        ("Brellow Mist;air;tall;;;", "height: ‘tall’ cannot be read"),
        ("brellow-gale;air;120;;;", "line 3 names this part already"),
    ],
)
def test_a_row_that_cannot_be_kept_says_why_and_the_others_are_read(
    wb: Workbench, row: str, reason: str
) -> None:
    found = read(wb, f"{TABLE}{row}\n", kind="cooler")
    assert [each.reason[: len(reason)] for each in found.refused] == [reason]
    assert len(found.fresh) == 2


def test_a_table_without_names_or_kind_asks_for_them(wb: Workbench) -> None:
    found = read(wb, "a;b\n1;2\n")
    assert [each.split(" ")[-1] for each in found.problems] == ["are.", "part."]
    assert not shelves.every(wb, Part)


def test_a_table_that_says_no_source_is_read_but_not_kept_and_none_is_made_up(wb: Workbench) -> None:
    unsaid = TABLE.replace("a box", "")
    found = read(wb, unsaid, "cooler")
    assert len(found.fresh) == 2
    assert [each[:46] for each in found.lacks] == ["Say where the facts of this table are from: gi"]
    with pytest.raises(BadRecord, match="where the facts of this table are from"):
        keep(wb, unsaid)
    assert not shelves.every(wb, Part)
    sheet = read_sheet(unsaid, name="coolers.csv")
    said = replace(parts_at_first(wb, sheet, "cooler").said, source="a data sheet")
    keep_parts(wb, reading_parts(wb, sheet, said, today=TODAY), kind="cooler", now=NOW)
    sources = {fact.part: fact.source for fact in facts_of(wb, ["brellow-breeze", "brellow-gale"])}
    assert sources == {"brellow-breeze": "a ruler", "brellow-gale": "a data sheet"}


def test_what_stands_so_far_is_told_beside_what_would_take_its_place(wb: Workbench) -> None:
    key = add_part(wb, {"kind": "cooler", "name": "Brellow Breeze"}, now=NOW).key
    note_facts(wb, key, {"height_mm": "150"}, source="the box", on="", now=NOW, today=TODAY)
    breeze, gale = read(wb, TABLE, "cooler").rows[:2]
    assert "height 155.5\u00a0mm (so far 150\u00a0mm, the box)" in breeze.words
    assert "so far" not in gale.words, "of a new part nothing stands"
