"""A study written out and brought into a fresh workbench is the same study."""

from __future__ import annotations

import re
import tomllib
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.desk.same_content import assert_comes_back_the_same
from tests.desk.small_folder import LATER, NOW, Folder, small_folder, weighed

from evenhand.desk.logs.columns import confirm_columns, look_at_log
from evenhand.desk.logs.exporting import export_study, free, safe
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs import deciding
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord, NotFound
from evenhand.store.prices import prices_of, take_back_price
from evenhand.store.workbench import Workbench

REAL_FRAMES = Path(__file__).parents[3] / "examples" / "real-frames"


def test_a_study_comes_back_the_same(stocked: Workbench, tmp_path: Path) -> None:
    assert_comes_back_the_same(stocked, "quay", tmp_path)


def test_so_do_decisions_with_their_history(stocked: Workbench, tmp_path: Path) -> None:
    def at(hours: int) -> Any:
        return NOW + timedelta(hours=hours)

    deciding.set_aside(
        stocked, "wren causeway 1", reason="interrupted", said=Said(note="the phone rang", now=at(1))
    )
    deciding.take_back(stocked, "wren causeway 1", said=Said(note="it did not", now=at(2)))
    deciding.set_aside(
        stocked, "wren causeway 1", reason="other", said=Said(note="it did: 30 s", now=at(3), masked=True)
    )
    deciding.keep(stocked, "plover render 1", said=Said(now=at(4)))
    first, second = "plover tramlines 1", "plover tramlines 2"
    deciding.replace_run(stocked, first, by=second, said=Said(note="wrong save game", now=at(5)))
    assert_comes_back_the_same(stocked, "quay", tmp_path)


def test_so_does_a_study_whose_runs_came_after_decisions(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    slow = small_folder(seed=3)
    folder.files["logs/odd.csv"] = slow.files["logs/plover-causeway-1.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "odd", "log": "logs/odd.csv"})
    import_folder(wb, folder.without("wren causeway 2").write(tmp_path / "study"), now=NOW)
    deciding.set_aside(wb, "odd", reason="wrong-scene", said=Said(now=NOW))
    import_folder(wb, folder.write(tmp_path / "study"), now=LATER)
    assert_comes_back_the_same(wb, "quay", tmp_path)


def test_so_do_audiences_prices_and_readings(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    import_folder(wb, weighed(folder).write(tmp_path / "study"), now=NOW)
    assert_comes_back_the_same(wb, "quay", tmp_path)
    (price, _) = prices_of(wb, ["wren", "plover"])
    take_back_price(wb, price.id, at=NOW)
    import_folder(wb, tmp_path / "study", now=NOW)
    assert len(prices_of(wb, ["wren", "plover"])) == 1, "what was taken back stays so"


def test_so_does_an_unreadable_log(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.files["logs/wren-causeway-2.csv"] = b"\0\1\2" * 500
    folder.files["logs/wren-causeway-3.csv"] = b""
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert_comes_back_the_same(wb, "quay", tmp_path)


def test_so_do_copies_and_bytes_seen_under_several_names(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "logs/copy.csv"})
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    folder.files["logs/a-third-name.csv"] = folder.files["logs/copy.csv"]
    folder.run("copy")["log"] = "logs/a-third-name.csv"
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert_comes_back_the_same(wb, "quay", tmp_path)


def test_so_do_logs_of_two_studies_with_one_name(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    """Both studies hold logs/wren-causeway-1.csv with other bytes; a third one uses them both."""
    other = small_folder("mole", seed=2)
    import_folder(stocked, other.write(tmp_path / "mole"), now=NOW)
    both = small_folder("both")
    for name, data in other.files.items():
        both.files[name.replace("logs/", "more/")] = data
    for run in other.runs:
        if "log" in run:
            moved = {**run, "log": run["log"].replace("logs/", "more/"), "label": f"{run['label']} again"}
            both.runs.append({key: value for key, value in moved.items() if key != "order"})
    import_folder(stocked, both.write(tmp_path / "both"), now=NOW)
    assert_comes_back_the_same(stocked, "both", tmp_path)


def test_so_do_tests_and_setups_that_are_not_compared(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["builds"].append({"key": "dunlin", "name": "Dunlin", "slot": 3})
    folder.document["setups"].append({"key": "dunlin", "build": "dunlin"})
    folder.document["study"] |= {"setups": ["wren", "plover"], "tests": ["causeway", "render"]}
    folder.runs.append({"test": "render", "setup": "dunlin", "label": "dunlin render 1", "score": 11.0})
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert_comes_back_the_same(wb, "quay", tmp_path)


def test_so_do_columns_that_were_confirmed(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    del folder.document["layouts"]
    study = folder.write(tmp_path / "study")
    confirm_columns(wb, look_at_log(wb, study / "logs/wren-causeway-1.csv"), now=NOW)
    import_folder(wb, study, now=NOW)
    assert_comes_back_the_same(wb, "quay", tmp_path)


def test_so_do_two_layouts_of_one_header(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    columns = {"frame_time": {"column": "frame [ms]", "unit": "us"}, "elapsed_time": {"column": "t [s]"}}
    folder.document["layouts"].append({"name": "in us", "kind": "frames", "columns": columns})
    for run in folder.runs:
        if "log" in run:
            run["layout"] = "in us" if run["setup"] == "plover" else "bench log"
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert len({each.run.log_layout for each in load_study(wb, "quay").runs} - {None}) == 2
    assert_comes_back_the_same(wb, "quay", tmp_path)


def test_what_is_written_of_a_layout_is_what_its_page_tells(stocked: Workbench, tmp_path: Path) -> None:
    export_study(stocked, "quay", tmp_path / "out")
    written = tomllib.loads((tmp_path / "out" / "study.toml").read_text(encoding="utf-8"))
    page = (Path(__file__).parents[3] / "docs" / "formats-study.md").read_text(encoding="utf-8")
    section = page.split("## `[[layouts]]`")[1].split("\n## ")[0]
    told = set(re.findall(r"^\| `(\w+)` \| yes \|", section.split("Roles:")[0], flags=re.MULTILINE))
    assert [set(layout) for layout in written["layouts"]] == [told]


def test_so_do_the_measurements_of_two_rigs(wb: Workbench, tmp_path: Path) -> None:
    import_folder(wb, REAL_FRAMES, now=NOW)
    waiting = [each for each in load_study(wb, "real-frames").runs if each.faults]
    deciding.set_aside(wb, waiting[0].run.id, reason="rate-cap", said=Said(now=NOW))
    deciding.keep(wb, waiting[-1].run.id, said=Said(note="meant to be held", now=NOW))
    assert_comes_back_the_same(wb, "real-frames", tmp_path)


# --- where it is written to


def test_the_report_counts_what_is_in_the_folder(stocked: Workbench, tmp_path: Path) -> None:
    told: list[tuple[int, int, str]] = []
    report = export_study(stocked, "quay", tmp_path / "out", watch=lambda *step: told.append(step))
    written = [path for path in (tmp_path / "out").rglob("*") if path.is_file()]
    assert (report.runs, report.files) == (18, 13)
    assert len(written) == report.files
    assert sum(path.stat().st_size for path in written) == report.bytes_written
    assert [step[:2] for step in told] == [(done, 12) for done in range(1, 13)]


def test_a_folder_that_holds_something_is_refused_and_left_alone(stocked: Workbench, tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("dear")
    with pytest.raises(BadRecord, match="the folder is not empty"):
        export_study(stocked, "quay", tmp_path / "mine")
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["letter.txt"]


def test_a_place_that_cannot_be_written_to_is_told_in_words(stocked: Workbench, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(BadRecord, match="cannot be written to"):
        export_study(stocked, "quay", tmp_path / "file" / "below")


def test_an_unknown_study_is_told_with_the_nearest_one(stocked: Workbench, tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="did you mean 'quay'"):
        export_study(stocked, "quai", tmp_path / "out")


@pytest.mark.parametrize(
    "name", ["/etc/passwd", "../../up.csv", "a/../../b.csv", "..\\up.csv", "C:\\x.csv", "", ".", "study.toml"]
)
def test_no_file_is_written_outside_the_folder_or_over_the_study_file(name: str) -> None:
    path = Path("/base") / safe(name)
    assert path.resolve().is_relative_to("/base")
    assert path.resolve() not in (Path("/base"), Path("/base/study.toml"))


def test_other_bytes_under_a_taken_name_get_a_number() -> None:
    taken = {"logs/a.csv": "1", "logs/a-2.csv": "2"}
    assert free("logs/a.csv", "3", taken) == "logs/a-3.csv"
    assert free("logs/a.csv", "1", taken) == "logs/a.csv"
