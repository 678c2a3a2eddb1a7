"""All that is wrong with a study's folder is told at once, whatever stage would have met it first."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from tests.desk.small_folder import Folder

from evenhand.desk.logs.log_files import file_bytes
from evenhand.desk.logs.study_folders import open_folder
from evenhand.errors import BadLog, BadRecord


def refusal(folder: Folder, place: Path) -> BadRecord:
    with pytest.raises(BadRecord) as told:
        open_folder(folder.write(place / "study"))
    return told.value


def test_a_bad_value_hides_no_other_mistake_anywhere(folder: Folder, tmp_path: Path) -> None:
    study, tests = folder.document["study"], folder.document["tests"]
    study.update(boot_allowance=2, ambient_c=[27, 21], setups=["heron-x", "wren"], titel="x")
    tests[0].update(unit="ms", minutes=-1.0)
    tests[1].update(also=["low_1pc"], direction="lower")
    folder.document["setups"][1].update(build="heron", stamps=3)
    folder.run("wren render 1").update(setup="heron", ambient_c=900.0)
    folder.run("plover causeway 1")["log"] = "logs/nowhere.csv"
    told = refusal(folder, tmp_path)
    for words in (
        "'boot_allowance' is 2; it must be less than or equal to 0.5",
        "unknown key 'titel'",
        "the room temperature range runs from 27.0 down to 21.0",
        "'heron-x' is not a setup of this file",
        "gives the unit 'ms'; average_fps is in fps",
        "'minutes' is -1.0",
        "cannot be judged by 'low_1pc'",
        "says that lower is better",
        "'stamps' must be a table",
        "'heron' is not a build of this file",
        "'heron' is not a setup of this file",
        "'ambient_c' is 900.0",
        "1 named file is not there: logs/nowhere.csv",
    ):
        assert words in told.found, words
    assert told.found.startswith("13 things cannot be used:")


def test_what_follows_from_a_mistake_is_not_told_as_another(folder: Folder, tmp_path: Path) -> None:
    folder.document["tests"][0]["metrik"] = folder.document["tests"][0].pop("metric")
    folder.run("plover causeway 1")["lgo"] = folder.run("plover causeway 1").pop("log")
    folder.run("wren render 1")["score"] = "12"
    told = refusal(folder, tmp_path)
    assert told.found.startswith("3 things cannot be used:")


def test_a_test_without_a_headline_number_is_told_once(folder: Folder, tmp_path: Path) -> None:
    del folder.document["tests"][0]["metric"]
    assert "needs the key 'metric'" in refusal(folder, tmp_path).found


def test_a_study_table_without_key_or_title_hides_nothing_else(folder: Folder, tmp_path: Path) -> None:
    del folder.document["study"]["key"], folder.document["study"]["title"]
    folder.document["study"]["tests"] = ["nowhere"]
    told = refusal(folder, tmp_path)
    assert told.found.startswith("3 things cannot be used:")
    assert "'nowhere' is not a test of this file" in told.found


def test_without_a_study_table_the_rest_is_looked_through_all_the_same(
    folder: Folder, tmp_path: Path
) -> None:
    del folder.document["study"]
    folder.document["tests"][0]["metric"] = "hitches"
    told = refusal(folder, tmp_path)
    assert "the table [study] is missing" in told.found
    assert "hitches is shown, but may enter no finding" in told.found


def test_a_missing_file_alone_is_told_with_what_to_do(folder: Folder, tmp_path: Path) -> None:
    del folder.files["logs/wren-causeway-1.csv"]
    told = refusal(folder, tmp_path)
    assert told.found == (
        "1 named file is not there: logs/wren-causeway-1.csv (did you mean 'wren-causeway-3.csv'?)"
    )
    line = int(re.search(r"study\.toml, line (\d+)$", told.where)[1])  # type: ignore[index]
    text = (tmp_path / "study/study.toml").read_text().splitlines()
    assert text[line - 1] == 'log = "logs/wren-causeway-1.csv"'
    assert told.todo.startswith("put them into the folder")


@pytest.mark.parametrize(("key", "given", "share"), [("margin", 3, "0.03"), ("boot_allowance", 1.5, "0.015")])
def test_a_share_written_in_percent_is_told_how_to_write_it(
    folder: Folder, tmp_path: Path, key: str, given: float, share: str
) -> None:
    folder.document["study"][key] = given
    assert refusal(folder, tmp_path).todo == f"it is a share: {given:g} % is written {share}"


def test_a_margin_beyond_any_share_gets_no_such_advice(folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["margin"] = 300
    assert refusal(folder, tmp_path).todo == ""


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("minimum", "minimum is shown, but may enter no finding (its key is minimum_fps)"),
        ("Average frame rate", 'that is what average_fps is called; write "average_fps"'),
        ("1% low", 'that is what low_1pct is called; write "low_1pct"'),
    ],
)
def test_a_number_named_as_it_is_shown_is_told_its_key(
    folder: Folder, tmp_path: Path, name: str, words: str
) -> None:
    folder.document["tests"][0].update(metric=name, also=[])
    assert words in str(refusal(folder, tmp_path))


def test_a_name_in_other_letters_a_folder_and_a_pipe_are_told_as_what_they_are(
    folder: Folder, tmp_path: Path
) -> None:
    place = folder.write(tmp_path / "study")
    (place / "logs/wren-causeway-1.csv").rename(place / "logs/Wren-causeway-1.CSV")
    for name in ("wren-causeway-2.csv", "wren-causeway-3.csv"):
        (place / "logs" / name).unlink()
    (place / "logs/wren-causeway-2.csv").mkdir()
    os.mkfifo(place / "logs/wren-causeway-3.csv")
    with pytest.raises(BadRecord) as told:
        open_folder(place)
    assert "3 named files are not there: " in told.value.found
    assert "wren-causeway-1.csv (did you mean 'Wren-causeway-1.CSV'?)" in told.value.found
    assert "wren-causeway-2.csv (a folder)" in told.value.found
    assert "wren-causeway-3.csv (no plain file)" in told.value.found


@pytest.mark.parametrize("where", ["a log", "its folder", "history.jsonl", "study.toml"])
def test_a_link_that_leads_out_of_the_folder_is_refused(folder: Folder, tmp_path: Path, where: str) -> None:
    place = folder.write(tmp_path / "study")
    name = {"a log": "logs/wren-causeway-1.csv", "its folder": "logs"}.get(where, where)
    outside = tmp_path / "outside"
    if (place / name).exists():
        (place / name).rename(outside)
    else:
        outside.write_text("{}")
    (place / name).symlink_to(outside)
    with pytest.raises(BadRecord) as told:
        open_folder(place)
    assert "a link that leads out of the folder" in told.value.found
    assert "self-contained" in str(told.value)


def test_a_link_that_was_laid_after_the_look_is_not_followed(folder: Folder, tmp_path: Path) -> None:
    place = folder.write(tmp_path / "study")
    (tmp_path / "secret").write_text("7")
    (place / "late.csv").symlink_to(tmp_path / "secret")
    with pytest.raises(BadLog, match="leads out of the folder"):
        file_bytes(place, "late.csv")


@pytest.mark.parametrize("gone", ["the log", "the folder"])
def test_a_file_that_was_removed_after_the_look_is_said_to_be_no_longer_there(
    folder: Folder, tmp_path: Path, gone: str
) -> None:
    place = folder.write(tmp_path / "study")
    (place / "logs/wren-causeway-1.csv").unlink()
    if gone == "the folder":
        place.rename(tmp_path / "elsewhere")
    with pytest.raises(BadLog) as told:
        file_bytes(place, "logs/wren-causeway-1.csv")
    assert told.value.found == "is no longer there: it was moved or removed meanwhile"
    assert "rights" not in told.value.todo


def test_a_link_within_the_folder_and_a_folder_reached_by_a_link_will_do(
    folder: Folder, tmp_path: Path
) -> None:
    place = folder.write(tmp_path / "study")
    (place / "logs/wren-causeway-1.csv").rename(place / "first.csv")
    (place / "logs/wren-causeway-1.csv").symlink_to(place / "first.csv")
    (tmp_path / "way").symlink_to(place)
    assert len(open_folder(tmp_path / "way").runs) == 18
    assert file_bytes(tmp_path / "way", "logs/wren-causeway-1.csv") == (place / "first.csv").read_bytes()
