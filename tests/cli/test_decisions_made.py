"""keep, set-aside, replace, reopen: decisions, with names on show and hidden."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command
from tests.desk.small_folder import Folder

from evenhand.desk.bench.masking import masked_id


def test_decisions_are_told_with_the_state_they_lead_to(doubtful: Command) -> None:
    said = doubtful("keep", "copy")
    assert (said.code, said.out) == (2, "")
    assert "blocks this run" in said.err
    assert "--note" in said.err
    kept = doubtful("keep", "copy", "--note", "the scene is canned", "--json").json
    assert (kept["run"]["state"], kept["run"]["note"]) == ("kept", "the scene is canned")
    assert doubtful("reopen", "copy", "--json").json["run"]["state"] == "in doubt"
    replaced = doubtful("replace", "copy", "--by", "wren causeway 2", "--json").json
    assert (replaced["run"]["state"], replaced["also"]) == ("replaced", [])
    said = doubtful("reopen", "copy")
    assert said.out.splitlines()[0].endswith("(copy): in doubt")
    assert said.out.splitlines()[-1] == "Next: evenhand compare quay"


def test_an_unknown_reason_is_told_with_the_nearest(doubtful: Command) -> None:
    said = doubtful("set-aside", "copy", "--reason", "duplicates")
    assert said.code == 2
    assert "did you mean 'duplicate'?" in said.err


def test_siblings_that_change_with_a_decision_are_told(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    drivers = {"wren causeway 1": "31.4", "wren causeway 2": "31.4", "wren causeway 3": "31.6"}
    for label, driver in drivers.items():
        folder.run(label)["stamps"] = {"driver": driver}
    evenhand("import", folder.write(tmp_path / "study"))
    evenhand("set-aside", "wren causeway 1", "--reason", "wrong-scene")
    said = evenhand("set-aside", "wren causeway 2", "--reason", "wrong-scene")
    assert "(wren causeway 3) is now landed" in said.out


# --- masked


def test_a_run_may_be_judged_without_knowing_its_build(doubtful: Command) -> None:
    answer = doubtful("runs", "quay", "--masked", "--in-doubt", "--json").json
    (run,) = answer["runs"]
    assert run["setup"] in ("A", "B")
    said = doubtful("runs", "quay", "--masked").out
    assert run["id"] in said
    assert not [name for name in ("wren", "plover") if name in said.casefold()]
    told = doubtful("set-aside", run["id"], "--reason", "duplicate", "--masked")
    assert told.out.splitlines() == [
        f"{run['id']} (causeway, {run['setup']}): set aside",
        "Next: evenhand runs quay --masked --in-doubt",
    ]
    assert doubtful("run", "copy", "--json").json["decisions"][0]["masked"] is True
    assert "set aside (duplicate), names masked" in doubtful("run", "copy").out
    assert "set aside (duplicate), names masked" in doubtful("history", "quay").out


def test_while_names_are_masked_every_verb_takes_masked_ids_and_no_others(doubtful: Command) -> None:
    ids = {run["label"]: run["id"] for run in doubtful("runs", "quay", "--json").json["runs"]}
    hidden = {label: masked_id(run) for label, run in ids.items()}
    for verb in (("keep", "copy"), ("set-aside", ids["copy"], "--reason", "duplicate"), ("reopen", "copy")):
        refused = doubtful(*verb, "--masked")
        assert (refused.code, refused.out) == (2, "")
        assert "while names are masked" in refused.err
    by = ("--by", hidden["wren causeway 2"], "--masked", "--json")
    assert doubtful("replace", hidden["copy"], *by).json["run"]["state"] == "replaced"
    assert doubtful("replace", hidden["copy"], "--by", "wren causeway 2", "--masked").code == 2
    assert doubtful("reopen", hidden["copy"], "--masked", "--json").json["run"]["state"] == "in doubt"
    kept = doubtful("keep", hidden["copy"], "--note", "canned", "--masked", "--json").json["run"]
    assert (kept["id"], kept["state"]) == (hidden["copy"], "kept")
    decisions = doubtful("history", "quay", "--json").json["decisions"]
    assert [decision["masked"] for decision in decisions] == [True, True, True]
