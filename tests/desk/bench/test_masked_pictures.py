"""Pictures while the names of builds are hidden: nothing in them or in their names tells a build."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import NOW, Folder

from evenhand.desk.bench.masked_pictures import masked_names, masked_who
from evenhand.desk.bench.masking import UNMASKING, mask_of, masked_id
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.names import names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.evidence_charts import (
    SAME_IN_CELL,
    Charts,
    chart_run_masked,
    chart_study,
    chart_study_masked,
)
from evenhand.errors import NotFound
from evenhand.store.workbench import Workbench

TELLING = ("wren", "plover")


@pytest.fixture
def doubtful(bring: Bring, folder: Folder) -> Workbench:
    """A copy, a run on another driver, one that is slower than its siblings, two made in a hot room."""
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "Wren again", "log": "copy.csv"})
    for run in folder.runs:
        if (run["test"], run["setup"]) == ("causeway", "plover"):
            run["stamps"] = {"driver": "31.6" if run["label"].endswith("3") else "31.4"}
    for label in ("wren render 1", "wren render 2"):
        folder.run(label)["ambient_c"] = 31.0
    folder.run("plover causeway 1")["label"] = "7"
    return bring(folder)


def code_of(wb: Workbench, label: str) -> str:
    """The masked id of the run of this label."""
    return next(masked_id(each.run.id) for each in load_study(wb, "quay").runs if each.run.label == label)


def told(charts: Charts) -> str:
    """All that pictures say: what they are called, and every word in and under them."""
    drawn = [(one.name, one.picture.svg, one.picture.title, one.picture.description) for one in charts.drawn]
    return repr((drawn, charts.not_drawn)).casefold()


def assert_tells_no_build(charts: Charts, wb: Workbench) -> None:
    said, record = told(charts), load_study(wb, "quay")
    assert not [word for word in TELLING if word in said]
    assert not [each.run.id for each in record.runs if each.run.id in said]


def test_the_evidence_of_a_study_is_drawn_under_masked_ids_and_nothing_else_of_it(
    doubtful: Workbench,
) -> None:
    charts, plain = chart_study_masked(doubtful, "quay"), chart_study(doubtful, "quay", now=NOW)
    assert "wren" in told(plain)  # so there is something to hide
    open_names = [one.name.split("-", 2) for one in plain.drawn if one.name.startswith("evidence")]
    assert [one.name for one in charts.drawn] == sorted(
        f"evidence-{masked_id(run)}-{kind}" for _, run, kind in open_names
    )
    assert {kind for _, _, kind in open_names} >= {"twin", "mixed-stamps", "room"}
    assert_tells_no_build(charts, doubtful)


def test_what_has_no_picture_is_told_by_masked_id(doubtful: Workbench) -> None:
    (left,) = [one for one in chart_study_masked(doubtful, "quay").not_drawn if one.kind == "room"]
    assert left.why == SAME_IN_CELL
    assert left.run == left.label == code_of(doubtful, "wren render 2")


@pytest.mark.parametrize("label", ["Wren again", "plover causeway 3", "7"])
def test_one_run_is_drawn_with_its_trace_and_evidence(doubtful: Workbench, label: str) -> None:
    code = code_of(doubtful, label)
    charts = chart_run_masked(doubtful, "quay", code)
    assert charts.drawn[0].name == f"trace-{code}"
    assert all(code in one.picture.title for one in charts.drawn)
    assert_tells_no_build(charts, doubtful)


def test_letters_wear_the_colours_of_their_own_place_and_not_of_a_build(doubtful: Workbench) -> None:
    record = load_study(doubtful, "quay")
    names = masked_names(names_of(record), mask_of(record))
    assert {name.name: name.slot for name in names.setups.values()} == {"A": 1, "B": 2}
    assert names.terms == ""


def test_a_label_without_letters_gives_way_to_the_masked_id_where_a_run_says_something(
    doubtful: Workbench,
) -> None:
    mask, code = mask_of(load_study(doubtful, "quay")), code_of(doubtful, "7")
    run = code.translate(UNMASKING)
    assert masked_who("7", mask, run) == code
    assert masked_who("7, driver", mask, run) == f"{code}, driver"
    assert masked_who("The test", mask, run) == "The test"


def test_a_masked_id_is_wanted_and_what_is_refused_tells_no_build(doubtful: Workbench) -> None:
    with pytest.raises(NotFound, match="not one run alone goes by"):
        chart_run_masked(doubtful, "quay", "Wren again")
    code = code_of(doubtful, "wren tramlines 1")
    assert [one.name for one in chart_run_masked(doubtful, "quay", code).drawn] == [f"trace-{code}"]
    score = code_of(doubtful, "plover render 1")
    with pytest.raises(NotFound, match="no trace to draw") as refused:
        chart_run_masked(doubtful, "quay", score)
    assert refused.value.where == score


def test_a_run_of_another_study_is_not_drawn(doubtful: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["key"] = "mole"
    folder.document["runs"] = [run for run in folder.runs if "log" not in run]
    import_folder(doubtful, folder.write(tmp_path / "mole"), now=NOW)
    code = code_of(doubtful, "Wren again")
    with pytest.raises(NotFound, match="no run of study 'mole' goes by"):
        chart_run_masked(doubtful, "mole", code)
