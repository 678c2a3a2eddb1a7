"""import: what comes onto the workbench, what is refused, and what comes next."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.cli.doubtful_logs import DOUBTFUL
from tests.desk.small_folder import FPS, NOW, Folder
from tests.desk.tuning.small_chip import LIMIT, TRIAL, TUNED


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
        "waiting": [],
        "not_named": [],
        "changes": [],
        "shared_orders": [],
        "elsewhere": [],
        "disagreeing": [],
        "missing_past": None,
        "tuned": {
            "parts": 0, "limits": 0, "trials": 0, "logs": 0, "gone": 0, "known": 0, "turned": [],
            "otherwise": [],
        },
    }  # fmt: skip


def test_import_says_what_is_new_of_tuned_parts_and_that_nothing_is(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    gone = {"counts": False, "reason": "the fan was unplugged", "at": NOW}
    first = {key: value for key, value in TRIAL.items() if key != "room_c"} | {"key": "first"}
    folder.document["tuned"] = [{**TUNED, "limits": [{**LIMIT, "read_on": NOW.date()}]}]
    folder.document["trials"] = [first, {**TRIAL, "key": "second", "turns": [gone]}]
    study = folder.write(tmp_path / "study")
    said = evenhand("import", study).out.splitlines()[1]
    assert said == (
        "  of tuned parts: 1 new part, 1 new limit, 2 new trials (1 of the new ones taken back), "
        "0 known already."
    )
    assert evenhand("import", study).out.splitlines()[1] == "  of tuned parts: nothing new, 3 known already."
    folder.document["trials"][0] = {**first, "turns": [gone]}
    said = evenhand("import", folder.write(tmp_path / "more")).out
    assert "  since: trial 1 of the processor of wren" in said
    assert "taken back on 4 May 2031: the fan was unplugged" in said
    folder.document["trials"][0] = {**first, "turns": [{**gone, "reason": "a slip"}]}
    said = evenhand("import", folder.write(tmp_path / "other")).out
    assert "  not taken over: trial 1 of the processor of wren" in said


def test_import_says_which_runs_wait_and_that_something_needs_you(
    doubtful: Command, folder: Folder, tmp_path: Path
) -> None:
    again = doubtful("import", tmp_path / "study")
    assert again.code == 1
    assert "  1 run waits for a decision (copy): evenhand runs quay --in-doubt" in again.out.splitlines()
    (copy,) = doubtful("runs", "quay", "--in-doubt", "--json").json["runs"]
    answer = doubtful("import", tmp_path / "study", "--json")
    assert (answer.code, answer.json["waiting"]) == (1, [copy["id"]])
    assert doubtful("set-aside", "copy", "--reason", "duplicate").code == 0
    settled = doubtful("import", tmp_path / "study")
    assert (settled.code, "waits" in settled.out) == (0, False)


def test_one_new_run_is_one_run(stocked: Command, folder: Folder, tmp_path: Path) -> None:
    folder.runs.append({"test": "render", "setup": "wren", "label": "more", "score": 11.98})
    said = stocked("import", folder.write(tmp_path / "study")).out
    assert said.startswith("quay: 1 new run, 0 changed, 18 known already.")


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


# --- what an import corrects


def corrected(stocked: Command, folder: Folder, place: Path, labels: list[str], **facts: object) -> list[str]:
    for label in labels:
        folder.run(label).update(facts)
    lines = stocked("import", folder.write(place)).out.splitlines()
    return [line for line in lines if line.startswith("  changed")]


def test_one_corrected_fact_is_told_with_what_it_was(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    told = corrected(stocked, folder, tmp_path / "study", ["wren causeway 1"], boot="w9")
    assert told == ["  changed: boot of run wren causeway 1, wren-1 to w9"]


def test_facts_of_several_runs_are_told_in_one_sentence(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    all_of_wren = [f"wren {test} {n}" for test in ("causeway", "tramlines") for n in (1, 2, 3)]
    folder.run("plover causeway 1")["order"] = 99
    told = corrected(stocked, folder, tmp_path / "study", all_of_wren, wall_w=301.5)
    (line,) = told
    assert line == (
        "  changed: facts of 7 runs (wall_w of wren causeway 1, wren tramlines 1 and 4 more; "
        "order of plover causeway 1). All of it: evenhand history quay"
    )
    assert stocked("history", "quay").out.count("301.5") == 1


def test_a_folder_without_the_past_it_tells_of_is_told(stocked: Command, tmp_path: Path) -> None:
    stocked("compare", "quay")
    stocked("export", "quay", tmp_path / "out")
    (tmp_path / "out" / "results.jsonl").unlink()
    other = ("--workbench", tmp_path / "other.evenhand")
    said = stocked(*other, "import", tmp_path / "out")
    assert said.code == 0
    assert "  This study came without one frozen result: what it said before is not known here." in said.out
    answer = stocked(*other, "import", tmp_path / "out", "--json").json
    assert answer["missing_past"] == {"changes": 0, "results": 1}
    assert "came without one frozen result" in stocked(*other, "compare", "quay").out.split("Reservations")[1]


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
