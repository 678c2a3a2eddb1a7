"""chart: which pictures are drawn, and what is told of those that are not."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command
from tests.desk.small_folder import Folder


def test_chart_writes_pictures_and_names_them(stocked: Command, tmp_path: Path) -> None:
    files = stocked("chart", "quay", tmp_path / "pictures", "--json").json["files"]
    assert len(files) == 12
    assert all(Path(file).stat().st_size > 1000 for file in files)


def test_chart_draws_one_run(stocked: Command, tmp_path: Path) -> None:
    said = stocked("chart", "quay", tmp_path / "one", "--run", "wren causeway 1", "--dark")
    assert [Path(line).suffix for line in said.out.splitlines()] == [".svg", ".png"]


def test_chart_draws_what_holds_a_run_and_says_what_it_left_out(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    for name in ("one", "two"):
        folder.files[f"{name}.csv"] = folder.files["logs/wren-causeway-2.csv"]
        copy = {"test": "causeway", "setup": "wren", "label": f"copy {name}", "log": f"{name}.csv"}
        folder.runs.append(copy)
    evenhand("import", folder.write(tmp_path / "study"))
    said = evenhand("chart", "quay", tmp_path / "pictures").out
    assert said.count("-twin.png") == 1
    assert "Not drawn: twin of 1 run; another run of the same test and setup shows it." in said
    assert f"evenhand chart quay {tmp_path / 'pictures'} --run RUN" in said
    said = evenhand("chart", "quay", tmp_path / "one", "--run", "copy two").out
    assert [Path(line).name.split("-")[0] for line in said.splitlines()] == ["trace"] * 2 + ["evidence"] * 2
