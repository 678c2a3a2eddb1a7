"""A study's pictures say which of its terms were changed with runs on record."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.comparison.charting import draw_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.runs.evidence_charts import chart_run, chart_study
from evenhand.publish.picture import Picture
from evenhand.store.workbench import Workbench


@pytest.fixture
def moved(wb: Workbench, folder: Folder, tmp_path: Path) -> Workbench:
    """The small study, its margin moved once its 18 runs were on record, and another version of one test."""
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    folder.document["study"]["margin"] = 0.09
    next(test for test in folder.document["tests"] if test["key"] == "causeway")["version"] = "9"
    import_folder(wb, folder.write(tmp_path / "study"), now=LATER)
    return wb


def drawn_words(picture: Picture) -> str:
    return picture.svg.partition("</desc>")[2]


def test_every_card_of_the_study_says_that_its_margin_was_moved(moved: Workbench) -> None:
    drawn = draw_study(moved, "quay", now=LATER)
    assert {one.name.split("-")[0] for one in drawn} == {"intervals", "rates", "runs"}
    assert all("argin" in drawn_words(one.picture) for one in drawn)
    assert all("changed after 18 runs." in drawn_words(one.picture) for one in drawn)


def test_a_card_of_one_test_says_nothing_of_another_tests_terms(moved: Workbench) -> None:
    by_name = {one.name: drawn_words(one.picture) for one in draw_study(moved, "quay", now=LATER)}
    assert "Margin and version changed after 18 runs." in by_name["runs-causeway"]
    assert "Margin changed after 18 runs." in by_name["runs-render"]


def test_a_runs_trace_says_so_too(moved: Workbench) -> None:
    one = chart_run(moved, "quay", "wren causeway 1").drawn[0]
    assert "Margin and version changed after 18 runs." in drawn_words(one.picture)


def test_the_evidence_of_a_run_says_so_too(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.run("wren causeway 1")["ambient_c"] = 31.0
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    folder.document["study"]["margin"] = 0.09
    next(test for test in folder.document["tests"] if test["key"] == "tramlines")["version"] = "9"
    import_folder(wb, folder.write(tmp_path / "study"), now=LATER)
    (one,) = [each for each in chart_study(wb, "quay", now=LATER).drawn if each.name.startswith("evidence")]
    assert "Margin changed after 18 runs." in drawn_words(one.picture)


def test_a_study_whose_terms_stayed_says_nothing_of_them(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert not any("changed" in drawn_words(one.picture) for one in draw_study(wb, "quay", now=NOW))
