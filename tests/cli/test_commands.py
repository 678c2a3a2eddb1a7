"""Each command as a person or a script meets it."""

from __future__ import annotations

import shlex
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import FPS, Folder, small_folder

from evenhand.desk.masking import masked_id

FINDING_KEYS = (
    "test", "metric", "a", "b", "outcome", "ratio", "low", "high", "level", "n_a", "n_b", "method", "caveats",
)  # fmt: skip
INDEX_KEYS = ("a", "b", "ratio", "low", "high", "predicted_low", "predicted_high")


@pytest.fixture
def bare(folder: Folder) -> Folder:
    """The small study without a word on which column is what."""
    del folder.document["layouts"]
    return folder


@pytest.fixture
def doubtful(evenhand: Command, folder: Folder, tmp_path: Path) -> Command:
    """The small study with a copy among its runs, which is blocked."""
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv"})
    assert evenhand("import", folder.write(tmp_path / "study")).code == 0
    return evenhand


# --- import


def test_import_says_what_came_in_and_what_comes_next(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    said = evenhand("import", folder.write(tmp_path / "study"))
    assert said.out.splitlines() == [
        "quay: 18 new runs, 0 changed, 0 known already.",
        "Next: evenhand runs quay, then evenhand compare quay",
    ]
    assert evenhand("import", tmp_path / "study", "--json").json == {
        "study": "quay",
        "new": 0,
        "changed": 0,
        "same": 18,
        "decisions": 0,
        "refused": [],
        "not_named": [],
        "changes": [],
        "shared_orders": [],
        "disagreeing": [],
    }


def test_import_refuses_columns_nobody_confirmed_and_takes_them_once_confirmed(
    evenhand: Command, bare: Folder, tmp_path: Path
) -> None:
    study = bare.write(tmp_path / "study")
    first = evenhand("import", study, "--json")
    assert first.code == 1
    assert len(first.json["refused"]) == 12
    assert first.json["refused"][0]["file"] == "logs/wren-causeway-1.csv"
    assert "evenhand columns" in first.json["refused"][0]["why"]
    assert evenhand("columns", study / "logs/wren-causeway-1.csv", "--confirm", "--json").json["confirmed"]
    second = evenhand("import", study, "--json")
    assert (second.code, second.json["changed"], second.json["refused"]) == (0, 12, [])


def test_logs_with_one_header_are_refused_in_one_line_and_confirming_is_the_next_step(
    evenhand: Command, bare: Folder, tmp_path: Path
) -> None:
    bare.files["logs/plover-causeway-1.csv"] = bare.files["logs/plover-causeway-1.csv"].replace(
        b"frame [ms]", b"frame time [ms]"
    )
    study = bare.write(tmp_path / "the study")
    lines = evenhand("import", study).out.splitlines()
    refused = [line for line in lines if line.startswith("  refused: ")]
    assert len(refused) == 2
    assert refused[0].startswith("  refused: logs/wren-causeway-1.csv: nobody has confirmed")
    assert refused[0].endswith("(and 10 more with the same header)")
    assert "more with the same header" not in refused[1]
    at = lines.index("Next: say what the columns are, once for each header:")
    for line in lines[at + 1 :]:
        assert evenhand(*shlex.split(line)[1 if line.startswith("  ") else 3 :]).code == 0
    assert lines[-1].startswith("then again: evenhand import ")


def test_a_guess_that_is_not_sure_is_to_be_looked_at_before_it_is_confirmed(
    evenhand: Command, bare: Folder, tmp_path: Path
) -> None:
    bare.files["logs/wren-causeway-1.csv"] = DOUBTFUL["no agreement"]
    said = evenhand("import", bare.write(tmp_path / "study")).out
    (line,) = [line for line in said.splitlines() if "wren-causeway-1.csv   (" in line]
    assert "--confirm" not in line.split("   (")[0]


def test_import_with_yes_confirms_every_sure_guess(evenhand: Command, bare: Folder, tmp_path: Path) -> None:
    assert evenhand("import", bare.write(tmp_path / "study"), "--yes", "--json").json["refused"] == []


DOUBTFUL = {
    "a rate": b"t,fps\n" + b"".join(b"%d,%d.5\n" % (k, 58 + k % 3) for k in range(200)),
    "another delimiter": b"t_s;frame_ms\n" + b"".join(b"%d.5,16.%d\n" % (k, k % 10) for k in range(200)),
    "no agreement": b"t [s],frame [ms]\n" + b"".join(b"%d.5,16.%d\n" % (k, k % 10) for k in range(200)),
}


UNCONFIRMED = "nobody has confirmed what its columns are"
OTHERWISE = {"a rate": "it looks like a log of scores, and the run needs one of frames"}


@pytest.mark.parametrize("doubt", DOUBTFUL)
def test_import_with_yes_refuses_what_is_not_sure(
    evenhand: Command, bare: Folder, tmp_path: Path, doubt: str
) -> None:
    log = DOUBTFUL[doubt]
    bare = bare.without(*(f"{s} {t} {n}" for s in ("wren", "plover") for t in FPS for n in (2, 3)))
    for run in bare.runs:
        if "log" in run:
            bare.files[run["log"]] = b"".join(log.splitlines(keepends=True)[: -run["order"]])
    study = bare.write(tmp_path / "study")
    told = evenhand("import", study, "--yes", "--json")
    assert told.code == 1
    assert len(told.json["refused"]) == 4
    assert all(OTHERWISE.get(doubt, UNCONFIRMED) in one["why"] for one in told.json["refused"])
    assert all("(not sure: " in one["why"] for one in told.json["refused"])


def test_without_a_person_at_a_terminal_nothing_is_confirmed(
    evenhand: Command, bare: Folder, tmp_path: Path
) -> None:
    assert evenhand("import", bare.write(tmp_path / "study")).code == 1


# --- columns


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


# --- nothing is made before the input is found good


@pytest.mark.parametrize(
    "arguments",
    [("import", "heron"), ("columns", "heron.csv"), ("columns", "heron.csv", "--confirm")],
    ids=" ".join,
)
def test_no_workbench_is_made_for_what_is_not_there(
    evenhand: Command, place: Path, tmp_path: Path, arguments: tuple[str, ...]
) -> None:
    verb, name, *options = arguments
    said = evenhand(verb, tmp_path / name, *options)
    assert said.code == 2
    assert "heron" in said.err
    assert not place.exists()


def test_no_workbench_is_made_for_a_folder_or_log_that_cannot_be_used(
    evenhand: Command, folder: Folder, place: Path, tmp_path: Path
) -> None:
    folder.document["study"]["margn"] = 0.02
    assert evenhand("import", folder.write(tmp_path / "study")).code == 2
    (tmp_path / "empty.csv").write_bytes(b"")
    assert evenhand("columns", tmp_path / "empty.csv", "--confirm").code == 2
    assert not place.exists()


def test_no_workbench_is_made_for_a_look_and_one_is_to_remember(
    evenhand: Command, folder: Folder, place: Path, tmp_path: Path
) -> None:
    log = folder.write(tmp_path / "study") / "logs/wren-causeway-1.csv"
    assert evenhand("columns", log, "--json").json["confirmed"] is False
    assert not place.exists()
    assert evenhand("columns", log, "--confirm", "--json").json["confirmed"] is True
    assert place.exists()


# --- studies, runs, run


def test_studies_lists_what_is_there(stocked: Command) -> None:
    assert stocked("studies", "--json").json == {
        "studies": [{"study": "quay", "title": "The study quay", "runs": 18, "in_doubt": 0}]
    }
    assert "The study quay" in stocked("studies").out


def test_runs_has_the_fixed_shape(doubtful: Command) -> None:
    answer = doubtful("runs", "quay", "--json").json
    assert len(answer["runs"]) == 19
    for run in answer["runs"]:
        assert run["setup"] in ("wren", "plover")
        assert run["state"] in ("landed", "in doubt", "kept", "set aside", "replaced")
        assert isinstance(run["id"], str)
        assert isinstance(run["test"], str)
        assert all(isinstance(value, float) for value in run["metrics"].values())
        for fault in run["faults"]:
            assert fault["severity"] in ("blocks", "in doubt", "note")
            assert isinstance(fault["kind"], str)
            assert len(fault["evidence"]) > 10


def test_runs_shows_each_fault_with_what_to_do(doubtful: Command) -> None:
    said = doubtful("runs", "quay")
    assert "Salt Causeway" in said.out
    assert "Same recording as another run" in said.out
    assert "What to do: Set copy aside as a duplicate" in said.out


def test_runs_in_doubt_shows_only_those(doubtful: Command) -> None:
    answer = doubtful("runs", "quay", "--in-doubt", "--json").json
    assert [run["label"] for run in answer["runs"]] == ["copy"]
    assert "Nine Tramlines" not in doubtful("runs", "quay", "--in-doubt").out


def test_run_shows_numbers_with_their_meaning_and_every_decision(doubtful: Command) -> None:
    doubtful("set-aside", "copy", "--reason", "duplicate", "--note", "filed twice")
    answer = doubtful("run", "copy", "--json").json
    assert answer["log_names"] == ["copy.csv", "logs/wren-causeway-2.csv"]
    assert answer["definitions"]["average_fps"]["unit"] == "fps"
    assert [(d["state"], d["reason"], d["note"]) for d in answer["decisions"]] == [
        ("set aside", "duplicate", "filed twice")
    ]
    said = doubtful("run", "copy")
    for words in (
        "average frame rate",
        "set aside (duplicate): filed twice",
        "not judged: What sensors tell",
    ):
        assert words in said.out
    (ground,) = answer["decisions"][0]["grounds"]
    assert ground["evidence"]
    assert f"  on show then, blocks: Same recording as another run. {ground['evidence']}" in said.out


def test_run_tells_why_a_number_is_absent(stocked: Command) -> None:
    assert "no 0.1% low: needs 10,000 frames" in stocked("run", "wren causeway 1").out


def test_run_tells_counts_in_whole_numbers(stocked: Command) -> None:
    (line,) = [
        text for text in stocked("run", "wren causeway 1").out.splitlines() if text.startswith("frames  ")
    ]
    assert line.split()[1] == "800"


# --- keep, set-aside, replace, reopen


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


# --- compare


def typed(finding: dict[str, Any]) -> None:
    assert finding["outcome"] in ("ahead", "behind", "level", "unsettled")
    for key in ("test", "metric", "a", "b", "method"):
        assert isinstance(finding[key], str)
    for key in ("ratio", "low", "high"):
        assert finding[key] is None or isinstance(finding[key], float)
    assert 0 < finding["level"] < 1
    assert isinstance(finding["n_a"], int)
    assert isinstance(finding["n_b"], int)
    assert all(isinstance(words, str) and words for words in finding["caveats"])


def test_compare_has_the_fixed_shape(stocked: Command) -> None:
    answer = stocked("compare", "quay", "--json").json
    assert answer["study"] == "quay"
    assert {(f["test"], f["metric"]) for f in answer["findings"]} == {
        ("causeway", "average_fps"),
        ("causeway", "low_1pct"),
        ("tramlines", "average_fps"),
        ("tramlines", "low_1pct"),
        ("render", "score"),
    }
    for finding in answer["findings"]:
        assert list(finding)[: len(FINDING_KEYS)] == list(FINDING_KEYS)
        assert (finding["a"], finding["b"]) == ("wren", "plover")
        typed(finding)
    for index in answer["index"]:
        assert set(INDEX_KEYS) <= set(index)
        assert all(index[key] is None or isinstance(index[key], float) for key in INDEX_KEYS[2:])
    assert answer["index"][0]["group"] == ""  # over all tests, then each group


def test_a_ratio_above_one_means_that_the_first_setup_is_better_whichever_way_the_number_goes(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["setups"] = ["plover", "wren"]
    evenhand("import", folder.write(tmp_path / "study"))
    found = {f["test"]: f for f in evenhand("compare", "quay", "--json").json["findings"] if f["headline"]}
    assert found["render"]["ratio"] == pytest.approx(1.2, rel=0.01)  # 10 minutes instead of 12
    assert found["causeway"]["ratio"] == pytest.approx(1.25, rel=0.02)
    assert found["render"]["outcome"] == found["causeway"]["outcome"] == "ahead"


def test_comparing_again_names_the_same_frozen_result(stocked: Command) -> None:
    first = stocked("compare", "quay", "--json").json
    assert stocked("compare", "quay", "--json").json == first
    stocked("set-aside", "wren render 1", "--reason", "interrupted")
    second = stocked("compare", "quay", "--json").json
    assert second["frozen"]["id"] != first["frozen"]["id"]
    (exclusion,) = second["exclusions"]
    assert exclusion["test"] == "render"
    for part in ("findings_without", "findings_with"):
        typed(exclusion[part][0])


def test_compare_says_the_answer_first_and_what_was_left_out(stocked: Command) -> None:
    stocked("set-aside", "wren render 1", "--reason", "interrupted")
    said = stocked("compare", "quay")
    lines = said.out.splitlines()
    assert "Plover is ahead" in lines[0] or "Plover ahead" in lines[0] or "Wren" in lines[0]
    for heading in ("Wren and Plover", "Wren and Plover, 1% low", "Left out"):
        assert heading in lines
    assert "Frozen as result 1" in lines[-1]


def test_compare_says_every_reservation(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    for run in folder.runs:
        del run["order"]
        run["boot"] = run["setup"]
    evenhand("import", folder.write(tmp_path / "study"))
    said = evenhand("compare", "quay").out
    assert "one boot" in said.split("Reservations")[1]


# --- chart


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


def test_chart_and_export_tell_a_folder_that_cannot_be_written_to(stocked: Command, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    for verb in ("chart", "export"):
        said = stocked(verb, "quay", tmp_path / "file" / "below")
        assert said.code == 2
        assert "cannot be written to" in said.err


# --- export, backup, check


def test_export_writes_a_folder_that_import_takes(stocked: Command, tmp_path: Path) -> None:
    answer = stocked("export", "quay", tmp_path / "out", "--json").json
    assert (answer["study"], answer["runs"], answer["files"]) == ("quay", 18, 13)
    other = ("--workbench", tmp_path / "other.evenhand")
    assert stocked(*other, "import", tmp_path / "out").code == 0
    theirs, ours = stocked(*other, "runs", "quay", "--json").json, stocked("runs", "quay", "--json").json
    assert theirs == ours
    assert "18 runs in 13 files" in stocked("export", "quay", tmp_path / "again").out


def test_backup_and_check_of_the_copy(stocked: Command, tmp_path: Path) -> None:
    answer = stocked("backup", tmp_path / "copy.evenhand", "--json").json
    assert answer["bytes"] == (tmp_path / "copy.evenhand").stat().st_size
    checked = stocked("--workbench", tmp_path / "copy.evenhand", "check", "--json").json
    assert (checked["sound"], checked["originals"], checked["traces"]) == (True, 12, 12)
    assert "a whole workbench" in stocked("backup", tmp_path / "second.evenhand").out
    again = stocked("backup", tmp_path / "copy.evenhand")
    assert again.code == 2
    assert "is there already" in again.err


def test_check_finds_a_sound_workbench_sound(stocked: Command) -> None:
    said = stocked("check")
    assert said.code == 0
    assert "sound" in said.out
    assert "12 originals and 12 traces" in said.out


def test_check_of_a_workbench_of_an_earlier_version_is_no_alarm(stocked: Command, place: Path) -> None:
    with closing(sqlite3.connect(place, isolation_level=None)) as conn:
        conn.execute("DROP TABLE seals")
        conn.execute("DELETE FROM migrations WHERE number = 3")
        conn.execute("PRAGMA user_version = 2")
    said = stocked("check")
    assert said.code == 0
    assert "An earlier schema" in said.out
    assert stocked("studies").code == 0
    assert "An earlier schema" not in stocked("check").out


def test_check_on_a_damaged_workbench_says_it_in_words(stocked: Command, place: Path) -> None:
    content = bytearray(place.read_bytes())
    middle = len(content) // 2
    content[middle : middle + 4096] = bytes(4096)
    place.write_bytes(bytes(content))
    said = stocked("check")
    assert said.code == 1
    assert "NOT SOUND" in said.out
    answer = stocked("check", "--json")
    assert (answer.code, answer.json["sound"]) == (1, False)
    assert answer.json["problems"]


def test_a_file_that_is_no_workbench_is_left_alone(stocked: Command, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear reader, this is a letter")
    for verb in ("check", "studies"):
        said = stocked("--workbench", tmp_path / "letter.txt", verb)
        assert said.code == 2
        assert "this is not a workbench" in said.err
    assert (tmp_path / "letter.txt").read_text() == "dear reader, this is a letter"


def test_studies_side_by_side_stay_apart(stocked: Command, tmp_path: Path) -> None:
    stocked("import", small_folder("mole", seed=2).write(tmp_path / "mole"))
    assert {s["study"] for s in stocked("studies", "--json").json["studies"]} == {"quay", "mole"}
    assert stocked("compare", "mole", "--json").json["study"] == "mole"


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
