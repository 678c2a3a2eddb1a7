"""What is known of parts goes into a study's folder and out of it again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder

from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.parts.noting import note_facts
from evenhand.desk.study.building import change_part
from evenhand.errors import BadRecord
from evenhand.records.part_facts import PartFact
from evenhand.store.part_facts import facts_of
from evenhand.store.workbench import Workbench, open_workbench

BOX = {"source": "the box", "on": date(2031, 5, 1), "values": {"power_w": 65}, "unknown": ["power_short_w"]}


def standing(wb: Workbench) -> list[PartFact]:
    return [replace(fact, id=0) for fact in facts_of(wb, ["k6"])]


def test_a_folder_brings_facts_with_source_and_day_and_takes_out_those_that_stand(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["parts"][0]["facts"] = [BOX]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert [(fact.fact, fact.value, fact.source) for fact in standing(wb)] == [
        ("power_w", 65, "the box"), ("power_short_w", None, "the box"),
    ]  # fmt: skip
    note_facts(wb, "k6", {"power_w": "88"}, source="a meter", on="", now=NOW, today=NOW.date())
    import_folder(wb, tmp_path / "study", now=NOW)
    assert {fact.fact: fact.value for fact in standing(wb)} == {"power_w": 88, "power_short_w": None}
    export_study(wb, "quay", tmp_path / "out")
    with open_workbench(tmp_path / "other.evenhand") as other:
        import_folder(other, tmp_path / "out", now=NOW)
        assert sorted(standing(other), key=lambda fact: fact.fact) == sorted(
            standing(wb), key=lambda fact: fact.fact
        )


@pytest.mark.parametrize(
    ("table", "found"),
    [
        ({**BOX, "values": {"powr_w": 65}}, "did you mean 'power_w'"),
        ({**BOX, "values": {"power_w": "much"}}, "most power for long is not a number from 0 on"),
        ({**BOX, "unknown": ["power_w"]}, "'power_w' of k6 stands there twice"),
        ({"on": date(2031, 5, 1)}, "source"),
    ],
)
def test_what_no_such_part_can_have_is_told_with_its_line_and_nothing_comes_in(
    wb: Workbench, folder: Folder, tmp_path: Path, table: dict[str, object], found: str
) -> None:
    folder.document["parts"][0]["facts"] = [table]
    with pytest.raises(BadRecord, match=r"line \d+") as refused:
        import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert found in str(refused.value)
    assert standing(wb) == []


def test_what_was_noted_when_a_part_was_called_otherwise_stays_here(
    stocked: Workbench, tmp_path: Path
) -> None:
    note_facts(
        stocked, "k6", {"power_w": "65", "own_graphics": "yes"}, source="the box", on="", now=NOW,
        today=NOW.date(),
    )  # fmt: skip
    change_part(stocked, "k6", {"kind": "graphics"}, now=NOW)
    export_study(stocked, "quay", tmp_path / "out")
    with open_workbench(tmp_path / "other.evenhand") as other:
        import_folder(other, tmp_path / "out", now=NOW)
        assert [(fact.fact, fact.value) for fact in standing(other)] == [("power_w", 65)]
