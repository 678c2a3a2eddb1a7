"""Questions about tuned parts are answered with what hours claim, and never with "stable"."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.desk.tuning.small_chip import TRIAL, lay_part, tried, walked

from evenhand.desk.verdict.answering import Answered, Known, answer
from evenhand.prose.wanted import Matter
from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def bench(weighed_file: Path, tmp_path: Path) -> Iterator[Workbench]:
    shutil.copy(weighed_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as wb:
        lay_part(wb)
        yield wb


def said(wb: Workbench, question: str) -> Answered:
    return answer(wb, "quay", question)


def words(found: Answered) -> list[str]:
    return [line.words.replace("\u00a0", " ") for line in found.lines]


CLAIM = (
    "Wren, processor: 5,000 MHz at 1,050 mV may be called: “no failure in 24 h 10 min of integers at 24 °C, "
    "at 95 % fewer than one in 8 h”."
)


@pytest.mark.parametrize(
    "question",
    ["Is it stable?", "Is Wren stable?", "Is Wren's overclock rock solid?", "At which clocks does Wren run?"],
)
def test_whether_it_is_stable_gets_the_claim(bench: Workbench, question: str) -> None:
    tried(bench, [*walked(), TRIAL | {"hours": 24.0}])
    found = said(bench, question)
    assert (found.known, found.asked.matter) == (Known.MEASURED, Matter.TUNED)
    assert words(found) == [CLAIM]
    assert found.lines[0].why.startswith("It may not be called: “stable”")


def test_a_machine_without_trials_is_told_as_that(bench: Workbench) -> None:
    tried(bench, [TRIAL])
    assert words(said(bench, "Are Wren and Plover stable?"))[1:] == ["No trial of Plover is on record."]


def test_a_part_that_only_failed_is_told_as_that(bench: Workbench) -> None:
    tried(bench, [TRIAL | {"outcome": "crash", "hours": 0.05}])
    found = said(bench, "Is Wren stable?")
    assert found.known is Known.UNKNOWN
    assert words(found) == ["Wren, processor: no hours of its trials speak for it."]


@pytest.mark.parametrize("question", ["Is it stable?", "Is Plover stable?"])
def test_without_trials_of_what_is_asked_about_it_is_a_question_of_what_lasts(
    bench: Workbench, question: str
) -> None:
    if "Plover" in question:
        tried(bench, [TRIAL])
    assert said(bench, question).asked.matter is Matter.LASTING
