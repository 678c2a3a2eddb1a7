"""columns: what the columns of a log seem to be, and confirming them once."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.cli.doubtful_logs import DOUBTFUL
from tests.desk.landing_cases import log
from tests.desk.small_folder import LATER, Folder

from evenhand.desk.logs.alike import waiting_for_columns
from evenhand.desk.logs.dropping import drop_file
from evenhand.desk.on_record import load_study
from evenhand.store.workbench import open_workbench


def test_columns_shows_the_guess_for_every_column_with_its_reason(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    log = folder.write(tmp_path / "study") / "logs/wren-causeway-1.csv"
    said = evenhand("columns", log)
    assert said.code == 0
    for words in ("frame time", "elapsed time", "header names", "Confirm with --confirm"):
        assert words in said.out
    answer = evenhand("columns", log, "--json").json
    assert (answer["kind"], answer["confirmed"]) == ("frames", False)
    assert [column["role"] for column in answer["columns"]] == ["elapsed time", "frame time"]
    assert "These columns are confirmed." in evenhand("columns", log, "--confirm").out
    assert evenhand("columns", log, "--json").json["confirmed"] is True


@pytest.mark.parametrize("log", DOUBTFUL.values(), ids=DOUBTFUL.keys())
def test_columns_says_where_the_guess_is_not_sure(evenhand: Command, tmp_path: Path, log: bytes) -> None:
    (tmp_path / "a.csv").write_bytes(log)
    answer = evenhand("columns", tmp_path / "a.csv", "--json").json
    assert not answer["sure"]
    assert f"Not sure: {answer['doubt']}." in " ".join(evenhand("columns", tmp_path / "a.csv").out.split())


def test_columns_does_not_doubt_a_sure_guess(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    log = folder.write(tmp_path / "study") / "logs/wren-causeway-1.csv"
    answer = evenhand("columns", log, "--json").json
    assert (answer["sure"], answer["doubt"]) == (True, "")
    assert all(column["sure"] for column in answer["columns"])
    assert "not sure" not in evenhand("columns", log).out.lower()


def test_columns_tells_what_is_remembered_in_place_of_the_guess(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    """The study's layout is corrected to another unit: the guess is not what an import uses."""
    log = folder.write(tmp_path / "study") / "logs/wren-causeway-1.csv"
    assert stocked("columns", log, "--json").json["otherwise"] == []
    folder.document["layouts"][0]["columns"]["frame_time"]["unit"] = "us"
    stocked("import", folder.write(tmp_path / "study"))
    said = stocked("columns", log).out
    assert "These columns are confirmed." not in said
    assert "used in place of the guess:\n  frame time 'frame [ms]' in us\n" in said
    columns = ["frame time 'frame [ms]' in us", "elapsed time 't [s]'"]
    assert stocked("columns", log, "--json").json["otherwise"] == columns
    assert stocked("columns", log, "--confirm").out.splitlines()[-1] == "These columns are confirmed."
    assert stocked("columns", log, "--json").json["otherwise"] == []


def test_confirming_columns_files_what_had_waited_for_just_that(
    stocked: Command, place: Path, tmp_path: Path
) -> None:
    path = tmp_path / "wren causeway 9.csv"
    path.write_bytes(log(20, header="row,took [ms]"))
    with open_workbench(place) as wb:
        drop_file(wb, path.read_bytes(), name=path.name, by="me", now=LATER)
        assert len(waiting_for_columns(wb)) == 1
    said = stocked("columns", path, "--confirm")
    assert said.out.splitlines()[-1] == "1 file that had waited for these columns is filed now."
    with open_workbench(place) as wb:
        assert not waiting_for_columns(wb)
        assert len(load_study(wb, "quay").runs) == 19
