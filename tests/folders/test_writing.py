"""A study folder survives being written and read."""

from __future__ import annotations

import importlib.util
import sys
import tomllib
from pathlib import Path
from types import ModuleType
from typing import Any

from hypothesis import HealthCheck, given, settings

from evenhand.folders.lines import lines_of
from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import RunEntry, StudyFolder
from evenhand.folders.writing import write_study
from evenhand.records.builds import Build, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Test


def _neighbour(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


FOLDERS = _neighbour("study_strategies").study_folders()


@settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(FOLDERS)
def test_what_was_written_is_read_as_an_equal_folder_written_the_same_and_each_entry_has_its_line(
    folder: StudyFolder,
) -> None:
    text = write_study(folder)
    found = read_study(text, where="study.toml")
    assert found == folder
    assert write_study(found) == text
    _each_entry_has_its_line(text)


def _each_entry_has_its_line(text: str) -> None:
    lines = lines_of(text)
    document = tomllib.loads(text)
    for table in ("parts", "builds", "setups", "tests", "layouts", "runs", "batches"):
        for at, entry in enumerate(document.get(table, [])):
            assert (
                "[[" in text.split("\n")[lines[table, at] - 1]
                or "{" in text.split("\n")[lines[table, at] - 1]
            )
            for place, _line in enumerate(entry.get("runs", [])):
                assert (table, at, "runs", place) in lines


def _cell(runs: int, **keys: Any) -> StudyFolder:
    made = tuple(
        RunEntry(test="t", setup="s", label=f"s t {n}", score=1.0 + n, order=n, **keys)
        for n in range(1, runs + 1)
    )
    test = Test(
        key="t", name="T", measures=Measures.SCORE, metric="score", unit="jobs/h", direction=Direction.HIGHER
    )
    return StudyFolder(
        study=Study(key="k", title="K", setups=("s",), tests=("t",)),
        builds=(Build(key="b", name="B", slot=1),),
        setups=(Setup(key="s", name="S", build="b"),),
        tests=(test,),
        runs=made,
    )


def test_what_the_runs_of_a_cell_have_alike_is_written_once() -> None:
    document = tomllib.loads(write_study(_cell(3, ambient_c=24.0, stamps={"driver": "31.4"})))
    (batch,) = document["batches"]
    assert batch == {
        "test": "t",
        "setup": "s",
        "ambient_c": 24.0,
        "stamps": {"driver": "31.4"},
        "runs": [{"score": 2.0, "order": 1}, {"score": 3.0, "order": 2}, {"score": 4.0, "order": 3}],
    }


def test_a_lone_run_is_written_as_a_run() -> None:
    document = tomllib.loads(write_study(_cell(1)))
    assert document["runs"] == [{"test": "t", "setup": "s", "score": 2.0, "order": 1}]
    assert "batches" not in document


def test_zero_is_a_number_and_is_written() -> None:
    folder = _cell(1, wall_w=0.0)
    assert read_study(write_study(folder), where="study.toml").runs[0].wall_w == 0.0
