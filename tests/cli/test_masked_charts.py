"""`chart --masked` and `run --masked`: what a run is judged by, with no word of whose it is."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command
from tests.desk.small_folder import Folder


def test_pictures_of_masked_runs_are_drawn_by_masked_id(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren causeway 1")["ambient_c"] = 31.0
    assert evenhand("import", folder.write(tmp_path / "study")).code == 1, "a run waits"
    (held,) = evenhand("runs", "quay", "--in-doubt", "--masked", "--json").json["runs"]
    of_study = evenhand("chart", "quay", tmp_path / "all", "--masked", "--json").json
    assert [Path(file).stem for file in of_study["files"]] == [f"evidence-{held['id']}-room"] * 2
    asked = evenhand("chart", "quay", tmp_path / "one", "--masked", "--run", held["id"])
    assert asked.code == 0
    assert {path.stem for path in (tmp_path / "one").iterdir()} == {
        f"trace-{held['id']}",
        f"evidence-{held['id']}-room",
    }
    assert "wren" not in asked.out.casefold().replace(str(tmp_path).casefold(), "")


def test_a_label_is_refused_while_names_are_masked(stocked: Command, tmp_path: Path) -> None:
    said = stocked("chart", "quay", tmp_path / "pictures", "--masked", "--run", "wren causeway 1")
    assert said.code == 2
    assert "while names are masked" in said.err


def test_one_masked_run_is_told_by_what_was_found_in_it(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren causeway 1")["ambient_c"] = 31.0
    evenhand("import", folder.write(tmp_path / "study"))
    (held,) = evenhand("runs", "quay", "--in-doubt", "--masked", "--json").json["runs"]
    alone = evenhand("run", held["id"], "--masked", "--json").json
    assert alone == {**held, "unjudged": alone["unjudged"]}
    told = evenhand("run", held["id"][:6], "--masked")
    assert told.code == 0
    assert told.out.startswith(f"{held['id']}  causeway, {held['setup']}: in doubt")
    assert held["faults"][0]["evidence"] in told.out
    assert "not judged: What sensors tell: no sensor log." in told.out
    assert all(f"not judged: {line}" in told.out for line in alone["unjudged"])
    assert "wren" not in told.out.casefold()
    assert evenhand("run", "wren causeway 1", "--masked").code == 2
