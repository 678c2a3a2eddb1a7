"""studies, runs, run: what is on the workbench, as a person or a script meets it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder, small_folder


def test_studies_lists_what_is_there(stocked: Command) -> None:
    assert stocked("studies", "--json").json == {
        "studies": [{"study": "quay", "title": "The study quay", "runs": 18, "in_doubt": 0, "away": None}]
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


@pytest.fixture
def east_of_utc(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """This computer three hours before UTC."""
    if not hasattr(time, "tzset"):
        pytest.skip("the zone of this computer cannot be set from within")
    monkeypatch.setenv("TZ", "EAT-3")
    time.tzset()
    yield
    monkeypatch.delenv("TZ")
    time.tzset()


def test_starts_are_told_by_one_clock_and_kept_as_stamped(
    evenhand: Command, folder: Folder, tmp_path: Path, east_of_utc: None
) -> None:
    stamps = ("2031-05-04T09:10:00+03:00", "2031-05-04T07:40:00+00:00")
    for run, text in zip(folder.runs, stamps, strict=False):
        run["started_at"] = datetime.fromisoformat(text)
    evenhand("import", folder.write(tmp_path / "study"))
    told = evenhand("runs", "quay").out.replace("\N{NO-BREAK SPACE}", " ")
    assert "4 May 09:10 " in told
    assert "4 May 10:40 (stamped 07:40 UTC)" in told
    assert told.count("Times are by this computer’s clock, UTC+03:00.") == 1
    begun = [run["started_at"] for run in evenhand("runs", "quay", "--json").json["runs"]]
    assert begun[:2] == list(stamps)


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


def test_studies_side_by_side_stay_apart(stocked: Command, tmp_path: Path) -> None:
    stocked("import", small_folder("mole", seed=2).write(tmp_path / "mole"))
    assert {s["study"] for s in stocked("studies", "--json").json["studies"]} == {"quay", "mole"}
    assert stocked("compare", "mole", "--json").json["study"] == "mole"


def test_where_no_run_waits_that_is_said(stocked: Command) -> None:
    for hidden in ((), ("--masked",)):
        assert "No run waits for a decision." in stocked("runs", "quay", "--in-doubt", *hidden).out
    assert stocked("runs", "quay", "--in-doubt", "--json").json["runs"] == []
