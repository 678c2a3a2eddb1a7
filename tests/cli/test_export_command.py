"""export: a study as a folder that import takes."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command


def test_export_writes_a_folder_that_import_takes(stocked: Command, tmp_path: Path) -> None:
    answer = stocked("export", "quay", tmp_path / "out", "--json").json
    assert (answer["study"], answer["runs"], answer["files"]) == ("quay", 18, 13)
    other = ("--workbench", tmp_path / "other.evenhand")
    assert stocked(*other, "import", tmp_path / "out").code == 0
    theirs, ours = stocked(*other, "runs", "quay", "--json").json, stocked("runs", "quay", "--json").json
    assert theirs == ours
    assert "18 runs in 13 files" in stocked("export", "quay", tmp_path / "again").out


def test_chart_and_export_tell_a_folder_that_cannot_be_written_to(stocked: Command, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    for verb in ("chart", "export"):
        said = stocked(verb, "quay", tmp_path / "file" / "below")
        assert said.code == 2
        assert "cannot be written to" in said.err
