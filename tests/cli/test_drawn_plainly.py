"""`chart` says what no picture could show as it is written."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command
from tests.desk.small_folder import Folder

NAME = "Жук"


def test_names_in_letters_that_the_fonts_lack_are_told_on_standard_error_and_in_the_answer(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    wren = next(build for build in folder.document["builds"] if build["name"] == "Wren")
    wren["name"] = NAME
    assert evenhand("import", folder.write(tmp_path / "study")).code == 0
    said = evenhand("chart", "quay", tmp_path / "pictures")
    told = f"wren stands for {NAME}, of which the fonts lack letters."
    assert said.code == 0
    assert told in said.err.splitlines()
    assert told not in said.out
    assert evenhand("chart", "quay", tmp_path / "pictures", "--json").json["drawn_plainly"] == [told]
    drawn = [
        file.read_text(encoding="utf-8").partition("</desc>")[2] for file in tmp_path.glob("pictures/*.svg")
    ]
    assert drawn
    assert not any(letter in svg for svg in drawn for letter in NAME)


def test_names_in_our_letters_need_no_word(stocked: Command, tmp_path: Path) -> None:
    said = stocked("chart", "quay", tmp_path / "pictures", "--json")
    assert said.json["drawn_plainly"] == []
