"""causes gives its reasons: what was not alike, what to write down first, which rerun would tell more."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Command
from tests.desk.swapped_folder import Made, swapped

DRIVER = {"driver": "1"}
Said = Callable[..., str]


@pytest.fixture
def said(evenhand: Command, tmp_path: Path) -> Said:
    """Brings setups in and asks for causes of the first two, in lines."""

    def ask(*setups: Made) -> str:
        brought = evenhand(
            "import", swapped(*setups, compared=(setups[0].key, setups[1].key)).write(tmp_path / "s")
        )
        assert brought.code == 0, brought.err
        return " ".join(evenhand("causes", "mole").out.replace("\u00a0", " ").split())

    return ask


def made(key: str, parts: tuple[str, ...], log: float, **stamps: str) -> Made:
    return Made(key=key, parts=parts, logs={"quay": log}, stamps={**DRIVER, **stamps})


def test_where_resolutions_differ_no_one_set_of_conditions_is_claimed(said: Said) -> None:
    told = said(
        made("tern", ("p1", "g1"), 4.1, resolution="1920 × 1080"),
        made("gull", ("p0", "g1"), 4.0, resolution="2560 × 1440"),
    )
    assert "Measure both with one resolution." in told
    assert "The two were not measured alike all the same: resolution differs, as told above." in told
    assert "under one set of conditions" not in told


def test_a_stamp_that_differs_beside_the_question_is_no_one_set_of_conditions(said: Said) -> None:
    sides = [made(key, parts, 4.0, **{"power plan": plan})
             for key, parts, plan in (("tern", ("p1",), "even"), ("gull", ("p0",), "high"))]  # fmt: skip
    assert "The two were not measured alike all the same: power plan differs" in said(*sides)


def test_two_measured_alike_are_said_to_be(said: Said) -> None:
    told = said(made("tern", ("p1",), 4.1), made("gull", ("p0",), 4.0))
    assert "all runs of the two that count were made under one set of conditions" in told


def test_what_is_not_on_record_is_to_be_written_down_before_any_swap(said: Said, evenhand: Command) -> None:
    told = said(made("tern", ("p1", "b1", "g1"), 4.1), made("gull", ("p0",), 4.0))
    assert "Write down first what is not on record: board and graphics of Gull" in told
    assert "in place of" not in told.partition("Which swap would say more")[2]
    answer: Any = evenhand("causes", "mole", "--json").json
    assert answer["swaps"] == []
    assert "board and graphics of Gull" in answer["write_down"]


def test_where_all_is_on_record_nothing_is_to_be_written_down(said: Said, evenhand: Command) -> None:
    told = said(made("tern", ("p1", "g1"), 4.1), made("gull", ("p0", "g0"), 4.0))
    assert "Write down" not in told
    assert "in place of" in told.partition("Which swap would say more")[2]
    assert evenhand("causes", "mole", "--json").json["write_down"] == ""


def test_a_corner_under_another_driver_is_named_with_the_rerun_that_would_close_the_square(
    said: Said,
) -> None:
    corners = (
        made("tern", ("p1", "g1"), 4.1), made("tern-p0", ("p0", "g1"), 4.0),
        made("gull", ("p0", "g0"), 3.9), made("gull-p1", ("p1", "g0"), 4.05, driver="2"),
    )  # fmt: skip
    told = said(*corners)
    assert "No parts changed together, so no swap is needed." in told
    why = "whether it depends on that was not measured; Gull-p1, run again under driver 1 as this was, would"
    assert why in told.partition("Which swap would say more")[2]


def test_three_corners_alone_name_no_rerun(said: Said) -> None:
    corners = (
        made("tern", ("p1", "g1"), 4.1), made("tern-p0", ("p0", "g1"), 4.0), made("gull", ("p0", "g0"), 3.9),
    )  # fmt: skip
    told = said(*corners)
    assert "whether it depends on that was not measured." in told
    assert "run again under" not in told
