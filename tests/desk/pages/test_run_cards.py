"""A run's card: which runs could be it made again, and where it stands in the bench day."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.desk.small_folder import LATER, NOW

from evenhand.desk.bench.masking import mask_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.run_cards import choice_of, made_after, place_words
from evenhand.store.workbench import Workbench


def record(wb: Workbench) -> StudyOnRecord:
    return load_study(wb, "quay")


@pytest.mark.parametrize(
    ("label", "later"),
    [
        ("plover causeway 1", ["plover causeway 2", "plover causeway 3"]),
        ("plover causeway 2", ["plover causeway 3"]),
        ("plover causeway 3", []),
    ],
)
def test_only_a_run_made_after_it_can_be_it_made_again(
    stocked: Workbench, label: str, later: list[str]
) -> None:
    of = record(stocked)
    each = next(each for each in of.runs if each.run.label == label)
    assert [words for _, words in choice_of(of, each).stand_ins] == later


@pytest.mark.parametrize(
    ("of_one", "of_other", "after"),
    [
        ({"order": 4}, {"order": 9}, False),
        ({"order": None, "started_at": LATER}, {"order": 9, "started_at": NOW}, True),
        ({"order": None}, {"order": None}, True),
    ],
)
def test_which_of_two_runs_was_made_later(
    stocked: Workbench, of_one: dict[str, Any], of_other: dict[str, Any], after: bool
) -> None:
    first, second, *_ = record(stocked).runs
    one, other = (
        replace(second, run=replace(second.run, **of_one)),
        replace(first, run=replace(first.run, **of_other)),
    )
    assert made_after(one, other, (other, one)) is after


def test_a_place_in_the_order_is_not_called_a_run(stocked: Workbench) -> None:
    each = record(stocked).runs[3]
    assert place_words(each) == f"boot {each.run.boot}, place 4 in the order"


def test_under_a_mask_all_others_are_offered_since_which_came_later_would_tell(stocked: Workbench) -> None:
    of = record(stocked)
    each = next(each for each in of.runs if each.run.label == "plover causeway 3")
    assert len(choice_of(of, each, mask=mask_of(of)).stand_ins) == 2
