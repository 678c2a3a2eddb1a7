"""photos, photo-add, photo-remove: pictures of builds from the terminal."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder
from tests.images.drawn import noted_jpeg


@pytest.fixture
def stocked(evenhand: Command, folder: Folder, tmp_path: Path) -> Command:
    """A workbench with the small study, and a photo in a file that calls itself otherwise."""
    evenhand("import", folder.write(tmp_path / "study"))
    (tmp_path / "side.png").write_bytes(noted_jpeg())
    return evenhand


def test_a_photo_is_added_listed_taken_away_and_put_back(stocked: Command, tmp_path: Path) -> None:
    assert "wren has no photo yet" in stocked("photos", "wren").out
    added = stocked("photo-add", "wren", tmp_path / "side.png", "--caption", "Dry")
    assert added.code == 0
    assert "photo 1 of wren is on record." in added.out
    assert "not described yet" in added.out
    assert "neither shown nor exported" in added.out
    again = stocked("photo-add", "wren", tmp_path / "side.png", "--alt", "The open side")
    assert "on record already" in again.out
    assert "The open side" in stocked("photos", "wren").out
    assert "photo-remove wren 1 --undo" in stocked("photo-remove", "wren", "1").out
    assert "no photo yet" in stocked("photos", "wren").out
    stocked("photo-remove", "wren", "1", "--undo")
    (photo,) = stocked("photos", "wren", "--json").json["photos"]
    assert (photo["media"], photo["alt"], photo["caption"]) == ("image/jpeg", "The open side", "Dry")


def test_what_cannot_be_kept_is_told_in_words(stocked: Command, tmp_path: Path) -> None:
    (tmp_path / "log.png").write_bytes(b"frame [ms]")
    (tmp_path / "none.png").write_bytes(b"")
    for file, words in (
        (tmp_path / "log.png", "this is no picture"),
        (tmp_path / "none.png", "the file is empty"),
        (tmp_path / "missing.png", "cannot be read"),
        (tmp_path, "cannot be read"),
    ):
        refused = stocked("photo-add", "wren", file)
        assert (refused.code, words in refused.err) == (2, True)
    assert stocked("photo-add", "nobody", tmp_path / "side.png").code == 2
    assert stocked("photo-remove", "wren", "7").code == 2
    assert stocked("photo-add", "wren", tmp_path / "side.png", "--taken-on", "May").code == 2
