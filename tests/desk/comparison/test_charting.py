"""Pictures of a study and of a run, and where they are put."""

from __future__ import annotations

import struct
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from tests.desk.small_folder import FPS, NOW, Folder

from evenhand.desk.comparison.charting import Drawn, draw_study, file_word, rates_of, save_pictures
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.cutting import cut_test
from evenhand.desk.runs.deciding import find_run
from evenhand.desk.runs.evidence_charts import chart_run
from evenhand.errors import BadRecord, NotFound
from evenhand.records.windows import Window
from evenhand.store.workbench import Workbench

PNG = b"\x89PNG\r\n\x1a\n"


def size_of(png: bytes) -> tuple[int, int]:
    width, height = struct.unpack(">II", png[16:24])
    return width, height


def trace_of(wb: Workbench, label: str, *, study: str = "quay", dark: bool = False) -> Drawn:
    return chart_run(wb, study, label, dark=dark).drawn[0]


def test_a_study_is_drawn_as_intervals_rates_and_runs(stocked: Workbench) -> None:
    names = [one.name for one in draw_study(stocked, "quay", now=NOW)]
    assert names == [
        "intervals-wren-plover",
        "rates-fps",
        "rates-min",
        "runs-causeway",
        "runs-tramlines",
        "runs-render",
    ]


@pytest.mark.parametrize("also", [[], ["average_fps"]])
def test_rates_show_the_average_and_the_low_also_where_the_low_is_the_headline_number(
    wb: Workbench, folder: Folder, tmp_path: Path, also: list[str]
) -> None:
    for test in folder.document["tests"]:
        if test["measures"] == "frames":
            test |= {"metric": "low_1pct", "also": also}
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    record = load_study(wb, "quay")
    for rate in rates_of(record):
        if rate.average.unit != "fps":
            assert (rate.metric, rate.low) == ("score", None)
            continue
        assert rate.metric == "average_fps"
        assert rate.average.value == pytest.approx(FPS[rate.test][rate.setup], rel=0.02)
        assert rate.low is not None
        assert rate.low.value < 0.95 * rate.average.value
    (strip,) = [one.picture for one in draw_study(wb, "quay", now=NOW) if one.name == "runs-causeway"]
    lows = [rate.low for rate in rates_of(record) if rate.test == "causeway"]
    assert all(low is not None and f"{low.value:.0f}" in strip.description for low in lows)


def test_pictures_are_written_as_svg_and_as_png_of_full_size(stocked: Workbench, tmp_path: Path) -> None:
    drawn = draw_study(stocked, "quay", now=NOW)[:2]
    told: list[tuple[int, int, str]] = []
    files = save_pictures(drawn, tmp_path / "new" / "pictures", watch=lambda *step: told.append(step))
    assert [path.name for path in files] == [
        "intervals-wren-plover.svg",
        "intervals-wren-plover.png",
        "rates-fps.svg",
        "rates-fps.png",
    ]
    assert [step[:2] for step in told] == [(1, 2), (2, 2)]
    for path in files:
        content = path.read_bytes()
        if path.suffix == ".png":
            assert content.startswith(PNG)
            assert size_of(content) == (1920, 1080)
        else:
            assert ET.fromstring(content).tag.endswith("svg")


def test_on_a_dark_ground_they_are_other_pictures(stocked: Workbench) -> None:
    light = trace_of(stocked, "wren causeway 1")
    dark = trace_of(stocked, "wren causeway 1", dark=True)
    assert light.name == dark.name
    assert light.picture != dark.picture


def test_one_run_is_drawn_under_its_id(stocked: Workbench) -> None:
    drawn = trace_of(stocked, "wren causeway 1")
    assert drawn.name == f"trace-{find_run(stocked, 'wren causeway 1').run.id}"


def test_a_run_with_a_fault_and_one_without_siblings_are_drawn(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.document["runs"] = [folder.run("plover causeway 1"), folder.run("wren causeway 2")]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv"})
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert "byte for byte" in trace_of(wb, "copy").picture.description
    assert trace_of(wb, "plover causeway 1")


@pytest.mark.parametrize(
    ("label", "found"),
    [("wren render 1", "a score run has no trace to draw"), ("heron", "no run is called 'heron'")],
)
def test_what_has_no_trace_is_told_in_words(stocked: Workbench, label: str, found: str) -> None:
    with pytest.raises(NotFound, match=found):
        trace_of(stocked, label)


def test_an_unreadable_log_has_no_trace_and_spoils_no_picture(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-2.csv"] = b"\0"
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    with pytest.raises(NotFound, match="has no trace"):
        trace_of(wb, "wren causeway 2")
    assert trace_of(wb, "wren causeway 1")
    assert len(draw_study(wb, "quay", now=NOW)) == 6


def test_a_run_of_another_study_is_told_with_its_own(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["key"] = "mole"
    folder.document["runs"] = [run for run in folder.runs if "log" not in run]
    import_folder(stocked, folder.write(tmp_path / "mole"), now=NOW)
    with pytest.raises(NotFound, match="is not one of study 'mole'; it belongs to 'quay'"):
        trace_of(stocked, "wren causeway 1", study="mole")


def test_a_study_without_runs_has_no_rates_and_no_run_strips(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["runs"] = []
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert not [one for one in draw_study(wb, "quay", now=NOW) if not one.name.startswith("intervals")]


def test_a_folder_that_cannot_be_written_to_is_told_in_words(stocked: Workbench, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(BadRecord, match="cannot be written to") as told:
        save_pictures([trace_of(stocked, "wren causeway 1")], tmp_path / "file" / "below")
    assert told.value.where == str(tmp_path / "file" / "below")


@pytest.mark.parametrize("unit", ["../../up", "a\\b", "jobs/h", "°", "", "a:b", "con\0"])
def test_no_unit_leads_a_picture_out_of_its_folder(unit: str) -> None:
    assert set(file_word(unit)) <= set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-")
    assert file_word(unit)


def test_the_trace_of_a_cut_run_is_whole_and_says_what_is_not_measured(stocked: Workbench) -> None:
    cut_test(stocked, "causeway", Window(start_s=0.5, end_s=6.0), now=NOW)
    picture = trace_of(stocked, "wren causeway 1").picture
    told = picture.description.replace("\u00a0", " ")
    assert "800 frames" in told
    assert "Not measured: 0.0 to 0.5 s and 6.0 to " in told
