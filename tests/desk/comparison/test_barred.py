"""Where no ratio may be formed no further run is asked for: the strip says what would make one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.comparison.test_apart import GULL, TERN, brought
from tests.desk.swapped_folder import Made

from evenhand.desk.bench.next_step import next_step
from evenhand.desk.bench.standing import standing_of
from evenhand.desk.comparison.barred import Barred, barred_words
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.home import UNSETTLED, where_of
from evenhand.store.workbench import Workbench


def with_stamps(made: Made, **stamps: str) -> Made:
    return replace(made, stamps=stamps)


@pytest.mark.parametrize(
    ("sides", "todo"),
    [
        (
            (with_stamps(TERN, resolution="1920 × 1080"), with_stamps(GULL, resolution="2560 × 1440")),
            "Measure both with one resolution",
        ),
        ((TERN, GULL), "Run one setup again under both, or measure both under one of them"),
    ],
)
def test_the_strip_of_a_study_without_a_ratio_says_how_one_is_had(
    wb: Workbench, tmp_path: Path, sides: tuple[Made, Made], todo: str
) -> None:
    brought(wb, tmp_path, *sides)
    record = load_study(wb, "mole")
    step = next_step(record)
    assert step.now == "No ratio may be formed in either of two tests."
    assert (step.next, step.page) == (todo, "causes")
    assert standing_of(record).open == ()
    assert where_of(record) == UNSETTLED


def test_a_test_that_one_pair_alone_may_not_be_compared_in_is_told_so() -> None:
    quay = Barred(test="Quay", wholly=False, todo="x")
    assert barred_words([quay], 3) == "No ratio may be formed of some pair in Quay."
    assert barred_words([replace(quay, wholly=True)], 3) == "No ratio may be formed in Quay."
