"""A study is judged only by defined numbers that may enter a finding, each in its own direction."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import NOW, Folder, changed_tables, everything

from evenhand.desk.logs.importing import import_folder
from evenhand.errors import BadRecord
from evenhand.store.workbench import Workbench

CAUSEWAY, RENDER = 0, 2  # a test of frames and one of scores, in the order of the file


def refusal(wb: Workbench, folder: Folder, at: Path) -> BadRecord:
    """How the import refuses this folder; it must have stored nothing."""
    before = everything(wb.path)
    with pytest.raises(BadRecord) as told:
        import_folder(wb, folder.write(at), now=NOW)
    assert changed_tables(before, everything(wb.path)) == set()
    return told.value


@pytest.mark.parametrize(
    ("test", "changes", "key", "said"),
    [
        (CAUSEWAY, {"metric": "averagefps"}, "metric", "is defined so; did you mean 'average_fps'?"),
        (CAUSEWAY, {"also": ["low_1pc"]}, "also", "no number is defined so; did you mean 'low_1pct'?"),
        (CAUSEWAY, {"metric": "duration_s"}, "metric", "duration is shown, but may enter no finding"),
        (CAUSEWAY, {"metric": "minimum_fps"}, "metric", "minimum is shown, but may enter no finding"),
        (CAUSEWAY, {"also": ["over_16_7_ms_pct"]}, "also", "time over 16.7 ms is shown, but may enter no"),
        (CAUSEWAY, {"also": ["sensor:wall:power:median"]}, "also", "enter no finding; known: average_fps"),
        (CAUSEWAY, {"also": ["wall_w"]}, "also", "power at the wall is compared by itself wherever runs"),
        (CAUSEWAY, {"metric": "score"}, "metric", "measures frames and cannot be judged by 'score'"),
        (RENDER, {"metric": "average_fps"}, "metric", "measures score and cannot be judged by 'average_fps'"),
        (RENDER, {"also": ["low_1pct"]}, "also", "that is a number of frames; known: score"),
        (CAUSEWAY, {"direction": "lower"}, "direction", "lower is better; of average_fps higher is; write"),
        (CAUSEWAY, {"unit": "ms"}, "unit", "the unit 'ms'; average_fps is in fps; write unit = \"fps\""),
        (CAUSEWAY, {"also": ["average_fps"]}, "also", "names 'average_fps' twice"),
        (CAUSEWAY, {"also": ["low_1pct", "low_1pct"]}, "also", "names 'low_1pct' twice"),
    ],
)  # fmt: skip
def test_a_test_that_names_a_wrong_number_is_refused_before_anything_is_stored(
    wb: Workbench, folder: Folder, tmp_path: Path, test: int, changes: dict[str, Any], key: str, said: str
) -> None:
    folder.document["tests"][test].update(changes)
    told = refusal(wb, folder, tmp_path / "study")
    assert said in str(told)
    assert f"test '{folder.document['tests'][test]['key']}'" in told.found
    assert f"[[tests]] {test + 1}, {key}" in told.where
    assert "study.toml, line " in told.where


def test_all_that_is_wrong_is_told_at_once(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["tests"][0].update(metric="frames", also=["hitches"])
    folder.document["tests"][1].update(direction="lower", unit="min")
    told = refusal(wb, folder, tmp_path / "study")
    assert told.found.startswith("4 things cannot be used:")
    for place in ("[[tests]] 1, metric", "[[tests]] 1, also", "[[tests]] 2, direction", "[[tests]] 2, unit"):
        assert place in told.found


@pytest.mark.parametrize(
    "changes", [{}, {"unit": "fps", "direction": "higher"}, {"unit": "frames per second"}], ids=str
)
def test_repeating_what_the_definition_says_is_no_contradiction(
    wb: Workbench, folder: Folder, tmp_path: Path, changes: dict[str, Any]
) -> None:
    folder.document["tests"][CAUSEWAY].update(metric="low_1pct", also=["average_fps"], **changes)
    assert import_folder(wb, folder.write(tmp_path / "study"), now=NOW).new == len(folder.runs)


@pytest.mark.parametrize("direction", ["higher", "lower"])
def test_a_score_runs_the_way_its_test_says(
    wb: Workbench, folder: Folder, tmp_path: Path, direction: str
) -> None:
    folder.document["tests"][RENDER].update(direction=direction, unit="jobs/h")
    assert import_folder(wb, folder.write(tmp_path / "study"), now=NOW).new == len(folder.runs)
