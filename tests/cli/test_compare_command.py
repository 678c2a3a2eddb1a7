"""compare: the fixed shape, and the answer in words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder

FINDING_KEYS = (
    "test", "metric", "a", "b", "outcome", "ratio", "low", "high", "level", "n_a", "n_b", "method", "caveats",
)  # fmt: skip
INDEX_KEYS = ("a", "b", "ratio", "low", "high", "predicted_low", "predicted_high")


def typed(finding: dict[str, Any]) -> None:
    assert finding["outcome"] in ("ahead", "behind", "level", "unsettled")
    for key in ("test", "metric", "a", "b", "method"):
        assert isinstance(finding[key], str)
    for key in ("ratio", "low", "high"):
        assert finding[key] is None or isinstance(finding[key], float)
    assert 0 < finding["level"] < 1
    assert isinstance(finding["n_a"], int)
    assert isinstance(finding["n_b"], int)
    assert all(isinstance(words, str) and words for words in finding["caveats"])


def test_compare_has_the_fixed_shape(stocked: Command) -> None:
    answer = stocked("compare", "quay", "--json").json
    assert answer["study"] == "quay"
    assert {(f["test"], f["metric"]) for f in answer["findings"]} == {
        ("causeway", "average_fps"),
        ("causeway", "low_1pct"),
        ("tramlines", "average_fps"),
        ("tramlines", "low_1pct"),
        ("render", "score"),
    }
    for finding in answer["findings"]:
        assert list(finding)[: len(FINDING_KEYS)] == list(FINDING_KEYS)
        assert (finding["a"], finding["b"]) == ("wren", "plover")
        typed(finding)
    for index in answer["index"]:
        assert set(INDEX_KEYS) <= set(index)
        assert all(index[key] is None or isinstance(index[key], float) for key in INDEX_KEYS[2:])
    assert answer["index"][0]["group"] == ""  # over all tests, then each group


def test_a_ratio_above_one_means_that_the_first_setup_is_better_whichever_way_the_number_goes(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["setups"] = ["plover", "wren"]
    evenhand("import", folder.write(tmp_path / "study"))
    found = {f["test"]: f for f in evenhand("compare", "quay", "--json").json["findings"] if f["headline"]}
    assert found["render"]["ratio"] == pytest.approx(1.2, rel=0.01)  # 10 minutes instead of 12
    assert found["causeway"]["ratio"] == pytest.approx(1.25, rel=0.02)
    assert found["render"]["outcome"] == found["causeway"]["outcome"] == "ahead"


def test_comparing_again_names_the_same_frozen_result(stocked: Command) -> None:
    first = stocked("compare", "quay", "--json").json
    assert stocked("compare", "quay", "--json").json == first
    stocked("set-aside", "wren render 1", "--reason", "interrupted")
    second = stocked("compare", "quay", "--json").json
    assert second["frozen"]["id"] != first["frozen"]["id"]
    (exclusion,) = second["exclusions"]
    assert exclusion["test"] == "render"
    for part in ("findings_without", "findings_with"):
        typed(exclusion[part][0])


def test_compare_says_the_answer_first_and_what_was_left_out(stocked: Command) -> None:
    stocked("set-aside", "wren render 1", "--reason", "interrupted")
    said = stocked("compare", "quay")
    lines = said.out.splitlines()
    assert "Plover is ahead" in lines[0] or "Plover ahead" in lines[0] or "Wren" in lines[0]
    for heading in ("Wren and Plover", "Wren and Plover, 1% low", "Left out"):
        assert heading in lines
    assert "Frozen as result 1" in lines[-1]


def test_compare_marks_what_was_decided_masked(stocked: Command) -> None:
    runs = stocked("runs", "quay", "--masked", "--json").json["runs"]
    said = stocked("set-aside", runs[0]["id"], "--masked", "--reason", "interrupted")
    assert said.code == 0
    left_out = stocked("compare", "quay").out.split("Left out\n")[1]
    assert "(interrupted, decided masked)" in left_out.replace("\n", " ")


def test_compare_says_every_reservation(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    for run in folder.runs:
        del run["order"]
        run["boot"] = run["setup"]
    evenhand("import", folder.write(tmp_path / "study"))
    said = evenhand("compare", "quay").out
    assert "one boot" in said.split("Reservations")[1]
