"""The worked example: raw logs in, every planted fault found, findings and pictures out."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from tests.cli.json_page import explained
from tests.cli.json_page import shown as example_of
from tests.desk.same_content import assert_comes_back_the_same

from evenhand.cli.main import run
from evenhand.demo.at_stock import MILD
from evenhand.demo.at_stock import STUDY as STOCK
from evenhand.demo.planted import PLANTED
from evenhand.desk.demonstrating import write_raw
from evenhand.desk.on_record import load_study
from evenhand.errors import BadRecord
from evenhand.records.runs import Reason, RunState
from evenhand.store.upkeep import check
from evenhand.store.workbench import open_workbench


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo") / "saltmarsh"


@pytest.fixture(scope="module")
def shown(folder: Path) -> Mapping[str, Any]:
    """What `evenhand demo --json` says; run once for all tests here."""
    with pytest.MonkeyPatch.context() as patched:
        said: list[str] = []
        patched.setattr("click.echo", lambda text="", **_: said.append(str(text)))
        assert run(["demo", str(folder), "--json"]) == 0
    answer: Mapping[str, Any] = json.loads("\n".join(said))
    return answer


def test_every_planted_fault_is_found(shown: Mapping[str, Any]) -> None:
    assert [(one["label"], one["kind"]) for one in shown["planted"]] == [(p.label, p.kind) for p in PLANTED]
    assert all(one["found"] for one in shown["planted"])


def test_what_was_planted_in_the_trials_is_found_and_told_without_the_bare_word(
    shown: Mapping[str, Any],
) -> None:
    assert [one["found"] for one in shown["tuning"]] == [True] * 7
    called = [one["told"] for one in shown["tuning"] if "may be called" in one["what"]]
    assert len(called) == 2
    for said in called:
        may, _, may_not = said.partition("may not:")
        assert "no failure in 24" in may
        assert "stable" not in may
        assert "stable" in may_not
    (below,) = (one["told"] for one in shown["tuning"] if "below stock" in one["what"])
    assert "55\u00a0mV below stock at the stock clock" in below


def test_a_second_study_says_what_tuning_bought_and_for_what(
    shown: Mapping[str, Any], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert [(one["what"], one["found"]) for one in shown["gained"]] == [
        ("what tuning Plover bought", True), ("what tuning Plover cost", True),
    ]  # fmt: skip
    assert run(["--workbench", str(folder / "saltmarsh.evenhand"), "gain", STOCK.key, MILD]) == 0
    assert capsys.readouterr().out.splitlines()[0] == shown["gained"][0]["told"]


def test_each_of_them_is_held_with_evidence(shown: Mapping[str, Any]) -> None:
    for one in shown["planted"]:
        assert one["run"]["state"] == "in doubt"
        assert one["kind"] in {fault["kind"] for fault in one["run"]["faults"] if fault["evidence"]}


def test_what_is_decided_is_on_record(shown: Mapping[str, Any], folder: Path) -> None:
    with open_workbench(folder / "saltmarsh.evenhand") as wb:
        by_label = {each.run.label: each for each in load_study(wb, "saltmarsh").runs}
    decided = [by_label[one.label] for one in PLANTED]
    assert {each.state for each in decided} == {RunState.SET_ASIDE}
    assert by_label["tramlines-final-2"].decision.reason is Reason.DUPLICATE
    assert not [each for each in by_label.values() if each.state is RunState.IN_DOUBT]


def test_the_findings_leave_the_planted_runs_out_and_say_what_they_would_change(
    shown: Mapping[str, Any],
) -> None:
    comparison = shown["comparison"]
    assert {e["run"] for e in comparison["exclusions"]} == {one["run"]["id"] for one in shown["planted"]}
    regatta = next(e for e in comparison["exclusions"] if e["test"] == "regatta")
    assert regatta["value"] == pytest.approx(143.9, abs=0.1)
    assert regatta["index_only"]


def test_every_key_of_its_answer_is_on_the_page_about_answers(shown: Mapping[str, Any]) -> None:
    for title, answer in (("`demo`", shown), ("A planted fault", shown["planted"][0])):
        assert set(answer) == explained(title) == example_of(title)


def test_its_pictures_are_written(shown: Mapping[str, Any]) -> None:
    assert len(shown["pictures"]) > 20
    assert all(Path(path).stat().st_size > 1000 for path in shown["pictures"])


def test_each_planted_fault_has_a_picture_of_its_evidence(shown: Mapping[str, Any]) -> None:
    for one in shown["planted"]:
        assert one["picture"] in shown["pictures"]
        assert Path(one["picture"]).name == f"evidence-{one['run']['id']}-{one['kind']}.png"
        svg = Path(one["picture"]).with_suffix(".svg").read_text(encoding="utf-8")
        (fault,) = [fault for fault in one["run"]["faults"] if fault["kind"] == one["kind"]]
        assert fault["title"][1:] in svg


def test_its_workbench_is_sound(shown: Mapping[str, Any], folder: Path) -> None:
    assert check(folder / "saltmarsh.evenhand").sound


@pytest.mark.parametrize("study", ["saltmarsh", STOCK.key])
def test_each_study_comes_back_the_same_with_its_decisions(
    shown: Mapping[str, Any], folder: Path, tmp_path: Path, study: str
) -> None:
    with open_workbench(folder / "saltmarsh.evenhand") as wb:
        assert_comes_back_the_same(wb, study, tmp_path)


def test_shown_again_in_words_it_finds_the_same(
    shown: Mapping[str, Any], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["demo", str(folder), "--no-serve"]) == 0
    said = capsys.readouterr().out
    assert "Triage found 5 of 5 planted faults:" in said
    assert "NOT FOUND" not in said
    assert "Money: 3 of 3 things planted in the prices found:" in said
    assert "Worth it: 2 of 2 things planted in a second study, of Plover tuned and at stock, found:" in said
    assert all(f"  {one.label}: " in said for one in PLANTED)
    assert all(f"Drawn: {Path(one['picture']).name}" in said for one in shown["planted"])
    assert f"{len(shown['pictures'])} pictures in {folder / 'pictures'}" in said
    assert run(["--workbench", str(folder / "saltmarsh.evenhand"), "compare", "saltmarsh", "--json"]) == 0
    again = json.loads(capsys.readouterr().out)
    assert {key: again[key] for key in shown["comparison"]} == shown["comparison"]


def test_its_answer_is_the_one_that_the_readme_quotes(
    shown: Mapping[str, Any], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    quoted = " ".join(line[2:] for line in readme.splitlines() if line.startswith("> "))
    assert run(["--workbench", str(folder / "saltmarsh.evenhand"), "compare", "saltmarsh"]) == 0
    answer = capsys.readouterr().out.splitlines()[0]
    assert quoted.replace("\u00a0", " ") == answer.replace("\u00a0", " ")


def test_a_folder_that_cannot_be_written_to_is_told_in_words(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(BadRecord, match="cannot be written to"):
        write_raw(tmp_path / "file" / "study")
