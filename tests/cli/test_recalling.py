"""What a study said before, what was changed of it, and what may only be read, as a person meets it."""

from __future__ import annotations

import json
import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder, frame_log, frames
from tests.store.small_study import unguarded

from evenhand.cli.main import DONE, NEEDS_YOU


def test_a_frozen_result_can_be_had_again_as_it_was(stocked: Command) -> None:
    first = stocked("compare", "quay", "--json").json
    stocked("set-aside", "wren render 1", "--reason", "interrupted")
    stocked("compare", "quay")
    again = stocked("results", "quay", "1", "--json").json
    assert again.pop("frozen") == {
        **{key: value for key, value in first.pop("frozen").items() if key != "disagreeing"},
        "stands": False,
        "why": "other inputs",
    }
    assert again == first
    said = stocked("results", "quay").out.splitlines()
    assert [line.split()[0] for line in said[1:]] == ["1", "2"]
    assert [line.split()[-1] for line in said[1:]] == ["inputs", "yes"]
    assert "no: other inputs" in said[1]


def test_a_frozen_result_is_told_with_its_findings(stocked: Command) -> None:
    findings = stocked("compare", "quay", "--json").json["findings"]
    said = stocked("results", "quay", "1").out
    assert said.startswith("Result 1, frozen 20")
    assert "Today's inputs still give this result." in said
    for found in findings:
        assert f"{found['ratio']:.4f}" in said
        assert f"{found['low']:.4f} to {found['high']:.4f}" in said


def forged(folder: Path, test: str, ratio: float) -> None:
    """Gives the first frozen result of an exported folder another ratio."""
    lines = (folder / "results.jsonl").read_text().splitlines()
    line = json.loads(lines[0])
    body = json.loads(line["body"])
    next(each for each in body["findings"] if each["test"] == test)["ratio"] = ratio
    line["body"] = json.dumps(body, ensure_ascii=False, sort_keys=True)
    (folder / "results.jsonl").write_text("\n".join([json.dumps(line), *lines[1:]]) + "\n")


def test_a_forged_result_is_told_by_import_results_and_compare(
    stocked: Command, evenhand: Command, tmp_path: Path
) -> None:
    stocked("compare", "quay")
    stocked("export", "quay", tmp_path / "out")
    forged(tmp_path / "out", "render", 1.5)
    other = ("--workbench", tmp_path / "other.evenhand")
    said = evenhand(*other, "import", tmp_path / "out")
    assert said.code == 0
    assert "Frozen result 1: same inputs, another answer." in said.out
    assert "give another answer: do not rely on it." in evenhand(*other, "results", "quay", "1").out
    (one,) = evenhand(*other, "results", "quay", "--json").json["results"]
    assert (one["stands"], one["why"]) == (False, "same inputs, another answer")
    assert "Frozen result 1: same inputs, another answer." in evenhand(*other, "compare", "quay").out
    assert evenhand(*other, "compare", "quay", "--json").json["frozen"]["disagreeing"] == [1]
    assert [one["stands"] for one in evenhand(*other, "results", "quay", "--json").json["results"]] == [
        False,
        True,
    ]
    assert evenhand(*other, "import", tmp_path / "out", "--json").json["disagreeing"] == []


def test_an_honest_result_that_came_with_its_study_stands(
    stocked: Command, evenhand: Command, tmp_path: Path
) -> None:
    stocked("compare", "quay")
    stocked("export", "quay", tmp_path / "out")
    other = ("--workbench", tmp_path / "other.evenhand")
    assert evenhand(*other, "import", tmp_path / "out", "--json").json["disagreeing"] == []
    assert [one["stands"] for one in evenhand(*other, "results", "quay", "--json").json["results"]] == [True]


def test_where_nothing_is_frozen_yet_the_next_step_is_told(stocked: Command) -> None:
    assert "Next: evenhand compare quay" in stocked("results", "quay").out
    assert stocked("results", "quay", "--json").json == {"study": "quay", "results": []}
    said = stocked("results", "quay", "3")
    assert said.code == 2
    assert "no frozen result 3" in said.err


@pytest.mark.parametrize("body", ["'{}'", "'[[['", "replace(body, 'behind', 'ahead')", "CAST(x'ff' AS TEXT)"])
def test_a_frozen_result_that_was_damaged_is_refused_and_check_is_named(
    stocked: Command, place: Path, body: str
) -> None:
    stocked("compare", "quay")
    with closing(sqlite3.connect(place, isolation_level=None)) as conn, unguarded(conn):
        conn.execute(f"UPDATE results SET body = {body}")
    for more in ([], ["--json"]):
        said = stocked("results", "quay", "1", *more)
        assert said.code == 2
        assert "evenhand check" in said.err
    checked = stocked("check")
    assert checked.code == 1
    assert "results '1' " in checked.out + checked.err


@pytest.mark.parametrize(
    "wrong",
    [
        {"findings": [{}]},
        {"findings": [{"test": 3}]},
        {"index": [{"a": "wren", "b": "plover"}]},
        {"changed_terms": [3]},
        {"earlier": 3},
        {"stand_ins": [None]},
    ],
)
def test_a_result_from_a_folder_that_tells_nothing_is_refused_in_words(
    stocked: Command, folder: Folder, tmp_path: Path, wrong: dict[str, object]
) -> None:
    body = json.dumps({"study": "quay", "findings": [], "index": [], **wrong})
    line = {"at": "2031-05-04T09:00:00Z", "code_version": "1", "input_hash": "a", "body": body}
    (folder.write(tmp_path / "study") / "results.jsonl").write_text(json.dumps(line) + "\n")
    assert stocked("import", tmp_path / "study").code == 0
    said = stocked("results", "quay", "1")
    assert said.code == 2
    assert "the frozen result 1 of 'quay' lacks what a result tells" in said.err


def test_an_import_says_which_fields_it_changed(stocked: Command, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["margin"] = 0.08
    assert (
        "changed: margin of study quay, 0.03 to 0.08"
        in stocked("import", folder.write(tmp_path / "study")).out
    )
    folder.document["tests"][2]["settings"] = {"quality": "high"}
    again = stocked("import", folder.write(tmp_path / "study"), "--json").json
    (change,) = again["changes"]
    assert change.pop("at")
    assert change == {
        "record": "test", "key": "render", "field": "settings", "before": {}, "after": {"quality": "high"},
    }  # fmt: skip
    assert "changed:" not in stocked("import", tmp_path / "study").out


def test_a_rewritten_score_is_told_by_import_and_by_every_comparison(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    stocked("compare", "quay")
    folder.run("wren render 1")["score"] = 8.2
    said = stocked("import", folder.write(tmp_path / "study")).out
    assert "changed: score of run wren render 1, 11.9532 to 8.2" in said
    words = "The score of wren render 1 was changed from 11.9532\xa0min to 8.2\xa0min on "
    assert words in stocked("compare", "quay").out.split("Reservations")[1]
    (term,) = stocked("compare", "quay", "--json").json["changed_terms"]
    assert (term["record"], term["field"], term["after"]) == ("run", "score", 8.2)


def study_lines(place: Path) -> list[str]:
    return (place / "study" / "study.toml").read_text(encoding="utf-8").splitlines()


def test_a_place_that_runs_of_one_test_share_is_told_with_those_that_wait_until_one_is_out(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren causeway 1")["order"] = folder.run("plover causeway 1")["order"] = 101
    assert stocked("import", folder.write(tmp_path / "study")).code == NEEDS_YOU
    told = "2 runs have place 101 in the order: wren causeway 1, plover causeway 1"
    assert told in stocked("runs", "quay", "--in-doubt").out
    stocked("set-aside", "wren causeway 1", "--reason", "interrupted")
    assert told not in stocked("runs", "quay", "--in-doubt").out
    assert stocked("import", tmp_path / "study").code == DONE


def test_a_place_that_runs_of_two_tests_share_is_told_and_needs_nobody(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren causeway 1")["order"] = folder.run("plover tramlines 1")["order"] = 101
    said = stocked("import", folder.write(tmp_path / "study"))
    assert (said.code, "order 101 is given to 2 runs" in said.out) == (DONE, True)
    assert "in the order" not in stocked("runs", "quay", "--in-doubt").out


def test_an_import_says_which_runs_share_a_place_in_the_order(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    assert "order" not in stocked("import", tmp_path / "study").out
    for number, order in ((1, 101), (2, 102)):
        folder.run(f"wren render {number}")["order"] = folder.run(f"plover render {number}")["order"] = order
    said = stocked("import", folder.write(tmp_path / "study"))
    told = "order 101 is given to 2 runs: wren render 1, plover render 1, and 1 more place is shared"
    lines = [at for at, line in enumerate(study_lines(tmp_path), 1) if line == "order = 101"]
    assert f"study.toml, lines {lines[0]}, {lines[1]}: {told}. Turns are taken within a test" in said.out
    again = stocked("import", tmp_path / "study", "--json")
    assert (said.code, again.code) == (NEEDS_YOU, NEEDS_YOU)
    assert [(each["order"], each["runs"], each["to_mend"]) for each in again.json["shared_orders"]] == [
        (101, ["wren render 1", "plover render 1"], True),
        (102, ["plover render 2", "wren render 2"], True),
    ]
    assert again.json["shared_orders"][0]["lines"] == lines
    assert "runs share 2 places in the order" in stocked("compare", "quay").out


def test_a_stand_in_that_is_set_aside_is_told_at_once_and_with_the_comparison(stocked: Command) -> None:
    stocked("replace", "wren causeway 1", "--by", "wren causeway 2")
    words = "which does not count itself: it is set aside."
    assert words in stocked("set-aside", "wren causeway 2", "--reason", "interrupted").out
    assert words in stocked("compare", "quay").out.split("Reservations")[1]
    assert words in stocked("results", "quay", "1").out


def test_a_margin_moved_after_the_runs_is_told_with_the_comparison_and_in_the_history(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    assert "Nothing was changed" in stocked("history", "quay").out
    folder.document["study"]["margin"] = 0.08
    stocked("import", folder.write(tmp_path / "study"))
    words = "The margin was changed from 3\xa0% to 8\xa0% on "
    reservations = stocked("compare", "quay").out.split("Reservations")[1]
    assert words in reservations
    assert ", after 18 runs were on record." in reservations
    (term,) = stocked("compare", "quay", "--json").json["changed_terms"]
    assert (term["field"], term["before"], term["after"], term["runs"]) == ("margin", 0.03, 0.08, 18)
    assert words in stocked("results", "quay", "1").out
    _, line = stocked("history", "quay").out.splitlines()
    assert line.split()[2:] == ["study", "quay", "margin", "0.03", "0.08"]


def test_two_runs_under_one_label_are_told_with_the_comparison(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren render 1")["boot"] = "wren-9"
    stocked("import", folder.write(tmp_path / "study"))
    assert (
        "Two runs labelled 'wren render 1' count" in stocked("compare", "quay").out.split("Reservations")[1]
    )


def test_a_run_shows_its_own_interval_and_says_that_it_is_within_this_run_only(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-1.csv"] = frame_log(frames(100.0, seed=5, n=12_000))
    evenhand("import", folder.write(tmp_path / "study"))
    low, high = evenhand("run", "wren causeway 1", "--json").json["within_run"]["average_fps"]
    said = evenhand("run", "wren causeway 1").out
    assert "within this run only" in said.splitlines()[1]
    (line,) = [line for line in said.splitlines() if line.startswith("average frame rate")]
    assert f"{low:.2f} to {high:.2f}" in line


@pytest.fixture
def archived(stocked: Command, monkeypatch: pytest.MonkeyPatch) -> Command:
    """The small study on a workbench that the system says may not be written."""
    monkeypatch.setattr("os.access", lambda _place, mode, **_: mode != os.W_OK)
    return stocked


def test_an_archived_workbench_can_be_looked_at_and_not_changed(
    archived: Command, place: Path, tmp_path: Path
) -> None:
    before = place.read_bytes()
    for verb in (
        ["studies"],
        ["runs", "quay"],
        ["run", "wren render 1"],
        ["results", "quay"],
        ["history", "quay"],
    ):
        assert archived(*verb).code == 0
    assert archived("export", "quay", tmp_path / "out").code == 0
    assert archived("chart", "quay", tmp_path / "one", "--run", "wren causeway 1").code == 0
    refused = archived("set-aside", "wren render 1", "--reason", "interrupted")
    assert refused.code == 2
    assert "may be read but not written here" in refused.err
    assert place.read_bytes() == before
    assert [file.name for file in place.parent.glob("bench*")] == [place.name]


def test_comparing_an_archived_workbench_answers_without_freezing_and_says_so(archived: Command) -> None:
    said = archived("compare", "quay")
    assert said.code == 0
    assert said.out.splitlines()[-1] == "Not frozen: this workbench may only be read here."
    assert archived("compare", "quay", "--json").json["frozen"] is None
    assert archived("results", "quay", "--json").json["results"] == []


def test_a_workbench_that_was_cut_off_is_reported_as_damaged_with_what_to_do(
    stocked: Command, place: Path
) -> None:
    content = place.read_bytes()
    place.write_bytes(content[: len(content) // 2])
    said = stocked("check")
    assert (said.code, said.err) == (1, "")
    assert "NOT SOUND" in said.out
    assert f"the file is cut off: it has {len(content) // 2:,} of {len(content):,} bytes" in said.out
    assert "go on from the latest backup" in said.out
    assert "evenhand check" not in said.out
    answer = stocked("check", "--json")
    assert (answer.code, answer.json["sound"], answer.json["version"]) == (1, False, 0)


def test_history_tells_corrected_runs_and_decisions_with_what_was_on_show(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv"})
    evenhand("import", folder.write(tmp_path / "study"))
    evenhand("set-aside", "copy", "--reason", "duplicate", "--note", "filed twice")
    folder.run("wren render 1").update(score=12.5, label="wren render 1 again")
    for number in (1, 2, 3):
        folder.run(f"plover tramlines {number}")["ambient_c"] = 24.5
    evenhand("import", folder.write(tmp_path / "study"))
    said = " ".join(evenhand("history", "quay").out.split())
    assert "(wren render 1 again) score" in said
    assert "3 runs ambient_c" not in said  # they came from different temperatures: a line each
    assert "(plover tramlines 2) ambient_c 23.2 24.5" in said
    assert "(copy): " in said
    assert "set aside (duplicate): filed twice on show then, blocks: Same recording as another run." in said
    (decision,) = evenhand("history", "quay", "--json").json["decisions"]
    assert decision["run"] == evenhand("run", "copy", "--json").json["id"]


def test_what_came_to_many_runs_at_once_is_told_in_one_line(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    for number in (1, 2, 3):
        folder.run(f"plover tramlines {number}")["wall_w"] = 301.0
    stocked("import", folder.write(tmp_path / "study"))
    lines = [line.split() for line in stocked("history", "quay").out.splitlines()[1:]]
    assert [line[2:] for line in lines] == [["3", "runs", "wall_w", "none", "301.0"]]
    assert len(stocked("history", "quay", "--json").json["changes"]) == 3


def test_runs_tells_of_a_run_that_its_folder_names_no_longer(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren render 1").update(score=13.5, label="read again", boot="wren-9")
    assert "names it no longer" not in stocked("runs", "quay").out
    stocked("import", folder.write(tmp_path / "study"))
    for said in (stocked("runs", "quay"), stocked("run", "wren render 1")):
        assert "its folder names it no longer. Where it was mistyped, set it aside" in said.out
    gone = [run["label"] for run in stocked("runs", "quay", "--json").json["runs"] if not run["named"]]
    assert gone == ["wren render 1"]
    assert "(wren render 1) named yes no" in " ".join(stocked("history", "quay").out.split())
