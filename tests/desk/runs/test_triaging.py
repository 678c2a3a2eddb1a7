"""Tests of a study are judged when something that their judgement depends on has changed, and only then."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.desk.small_folder import LATER, NOW, Folder, small_folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs import triaging
from evenhand.desk.runs.deciding import set_aside, take_back
from evenhand.desk.runs.learning import let_count
from evenhand.desk.runs.said import Said
from evenhand.records.runs import RunState
from evenhand.records.tests import Test
from evenhand.store.workbench import Workbench


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The keys of tests as they are judged."""
    told: list[str] = []
    as_before = triaging.triage_test

    def noted(around: Any, test: Test, *more: Any, **named: Any) -> triaging.Verdicts:
        told.append(test.key)
        return as_before(around, test, *more, **named)

    monkeypatch.setattr(triaging, "triage_test", noted)
    return told


def many_tests(folder: Folder, tests: int = 16, runs: int = 5) -> Folder:
    """The small study as many tests of scores."""
    rng = np.random.default_rng(8)
    render = next(test for test in folder.document["tests"] if test["key"] == "render")
    names = [f"render-{number}" for number in range(tests)]
    folder.document["tests"] = [{**render, "key": name, "name": f"Night {name}"} for name in names]
    folder.document["study"].pop("tests", None)
    cells = [(name, setup) for name in names for setup in ("wren", "plover")]
    folder.document["runs"] = [
        {"test": name, "setup": setup, "label": f"{setup} {name} {run}", "boot": str(run), "order": run,
         "score": float(10 * np.exp(0.01 * rng.standard_normal()))}
        for name, setup in cells for run in range(runs)
    ]  # fmt: skip
    return folder


def test_a_decision_judges_its_own_test_and_hardly_another(
    wb: Workbench, folder: Folder, tmp_path: Path, judged: list[str]
) -> None:
    import_folder(wb, many_tests(folder).write(tmp_path / "study"), now=NOW)
    assert len(judged) == 16
    judged.clear()
    set_aside(wb, "wren render-3 1", reason="interrupted", said=Said(now=LATER))
    assert "render-3" in judged
    assert len(judged) <= 4
    take_back(wb, "wren render-3 1", said=Said(now=LATER))
    assert len(judged) <= 8


def test_importing_again_judges_nothing(
    stocked: Workbench, folder: Folder, tmp_path: Path, judged: list[str]
) -> None:
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert judged == []


def test_a_corrected_room_is_judged_where_it_was_corrected(
    stocked: Workbench, folder: Folder, tmp_path: Path, judged: list[str]
) -> None:
    folder.run("wren render 2")["ambient_c"] = 25.5
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert judged == ["render"]


def test_a_changed_declaration_of_a_test_is_judged(
    stocked: Workbench, folder: Folder, tmp_path: Path, judged: list[str]
) -> None:
    for test in folder.document["tests"]:
        test.update(free_length=True) if test["key"] == "tramlines" else None
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert judged == ["tramlines"]


def test_what_another_study_teaches_is_judged_by_at_the_next_import(
    stocked: Workbench, folder: Folder, tmp_path: Path, judged: list[str]
) -> None:
    import_folder(stocked, small_folder("spring", seed=2).write(tmp_path / "spring"), now=NOW)
    judged.clear()
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert sorted(judged) == ["causeway", "render", "tramlines"]
    judged.clear()
    let_count(stocked, "causeway", study="spring", counts=False, now=LATER)
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert judged == ["causeway"]


def state_of(wb: Workbench, label: str) -> RunState:
    return next(each.state for each in load_study(wb, "quay").runs if each.run.label == label)


IN_EVERY_OTHER_TEST = tuple((f"plover render-{at} {run}", 0.6) for at in (0, 1, 2) for run in (1, 2))


@pytest.mark.parametrize(
    "others",
    [
        pytest.param((("plover render-0 2", 1000.0),), id="one in another unit"),
        pytest.param(IN_EVERY_OTHER_TEST, id="two in every other test"),
    ],
)
def test_a_run_that_waits_for_a_decision_elsewhere_hides_no_level(
    wb: Workbench, folder: Folder, tmp_path: Path, others: tuple[tuple[str, float], ...]
) -> None:
    told = many_tests(folder, tests=4, runs=4)
    told.run("wren render-3 1")["score"] *= 1.07
    for label, factor in others:
        told.run(label)["score"] *= factor
        told.run(label)["ambient_c"] = 35.0
    import_folder(wb, told.write(tmp_path / "study"), now=NOW)
    assert state_of(wb, "wren render-3 1") is RunState.IN_DOUBT


def test_what_is_lent_is_settled_after_one_import(
    wb: Workbench, folder: Folder, tmp_path: Path, judged: list[str]
) -> None:
    warm = many_tests(folder)
    warm.run("plover render-7 2")["score"] *= 0.9
    warm.run("plover render-7 2")["ambient_c"] = 35.0
    import_folder(wb, warm.write(tmp_path / "study"), now=NOW)
    judged.clear()
    import_folder(wb, warm.write(tmp_path / "study"), now=LATER)
    assert judged == []
    set_aside(wb, "plover render-7 2", reason="other-conditions", said=Said(now=LATER))
    assert judged == ["render-7"]
