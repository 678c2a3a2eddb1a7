"""A folder that tells of a past and does not hold it: import and every comparison say so."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.comparison.comparing import compare, inputs_now
from evenhand.desk.comparison.recalling import frozen_results
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import ImportReport, import_folder
from evenhand.desk.upkeep import check_workbench
from evenhand.folders.history_file import HISTORY_FILE, RESULTS_FILE
from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import NO_PAST, STUDY_FILE, PastLines
from evenhand.store.workbench import Workbench, open_workbench

MUCH_LATER = LATER + timedelta(days=30)


@pytest.fixture
def out(stocked: Workbench, folder: Folder, tmp_path: Path) -> Path:
    """The small study with its margin moved after its runs and one frozen result, exported."""
    folder.document["study"]["margin"] = 0.09
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    compare(stocked, "quay", now=LATER)
    export_study(stocked, "quay", tmp_path / "out")
    return tmp_path / "out"


def told(folder: Path) -> PastLines:
    text = (folder / STUDY_FILE).read_text(encoding="utf-8")
    return read_study(text, where="study.toml").past


def without(folder: Path, *names: str) -> dict[str, bytes]:
    """Takes files out of a folder; their bytes."""
    taken = {name: (folder / name).read_bytes() for name in names}
    for name in names:
        (folder / name).unlink()
    return taken


def brought(folder: Path, at: Path) -> tuple[ImportReport, tuple[str, ...]]:
    """The report of an import onto a workbench, and what compare says of what came before."""
    with open_workbench(at) as wb:
        report = import_folder(wb, folder, now=MUCH_LATER)
        assert check_workbench(at).problems == ()
        return report, compare(wb, "quay", now=MUCH_LATER).earlier


def test_the_study_file_tells_how_long_its_past_is(out: Path) -> None:
    lines = (out / HISTORY_FILE).read_text(encoding="utf-8").count("\n")
    assert lines > 18  # the arrivals and the moved margin
    assert told(out) == PastLines(changes=lines, results=1)


def test_a_study_without_a_past_tells_of_none(stocked: Workbench, tmp_path: Path) -> None:
    export_study(stocked, "quay", tmp_path / "out")
    assert told(tmp_path / "out") == NO_PAST
    assert "[past]" not in (tmp_path / "out" / STUDY_FILE).read_text(encoding="utf-8")


def test_with_its_files_nothing_is_missing(out: Path, tmp_path: Path) -> None:
    report, earlier = brought(out, tmp_path / "other.evenhand")
    assert (report.missing_past, earlier) == (NO_PAST, ())


UNKNOWN = "what was changed of it before is not known here."


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ((HISTORY_FILE,), "{lines} lines of its history: " + UNKNOWN),
        ((RESULTS_FILE,), "one frozen result: what it said before is not known here."),
        (
            (HISTORY_FILE, RESULTS_FILE),
            "{lines} lines of its history and one frozen result: " + UNKNOWN,
        ),
    ],
)
def test_without_its_files_import_and_compare_say_what_is_missing(
    out: Path, tmp_path: Path, names: tuple[str, ...], words: str
) -> None:
    past = told(out)
    without(out, *names)
    report, earlier = brought(out, tmp_path / "other.evenhand")
    assert report.missing_past == PastLines(
        changes=past.changes if HISTORY_FILE in names else 0, results=int(RESULTS_FILE in names)
    )
    assert earlier == (f"This study came without {words.format(lines=past.changes)}",)


def test_a_history_cut_short_is_noticed(out: Path, tmp_path: Path) -> None:
    lines = (out / HISTORY_FILE).read_text(encoding="utf-8").splitlines(keepends=True)
    (out / HISTORY_FILE).write_text("".join(lines[:-3]), encoding="utf-8")
    report, _ = brought(out, tmp_path / "other.evenhand")
    assert report.missing_past == PastLines(changes=3)


def test_it_is_told_on_by_the_folders_that_go_out_from_there(out: Path, tmp_path: Path) -> None:
    without(out, HISTORY_FILE, RESULTS_FILE)
    _, earlier = brought(out, tmp_path / "other.evenhand")
    with open_workbench(tmp_path / "other.evenhand") as wb:
        export_study(wb, "quay", tmp_path / "on")
    _, third = brought(tmp_path / "on", tmp_path / "third.evenhand")
    assert third == earlier


def test_where_the_workbench_has_the_past_itself_nothing_is_missing(stocked: Workbench, out: Path) -> None:
    without(out, HISTORY_FILE, RESULTS_FILE)
    report = import_folder(stocked, out, now=MUCH_LATER)
    assert report.missing_past == NO_PAST
    assert compare(stocked, "quay", now=MUCH_LATER).earlier == ()


def test_missing_changes_stay_missing_and_missing_results_may_still_come(out: Path, tmp_path: Path) -> None:
    taken = without(out, HISTORY_FILE, RESULTS_FILE)
    first, _ = brought(out, tmp_path / "other.evenhand")
    for name, content in taken.items():
        (out / name).write_bytes(content)
    again, earlier = brought(out, tmp_path / "other.evenhand")
    assert again.missing_past == PastLines(changes=first.missing_past.changes)
    assert "frozen result" not in earlier[0]
    with open_workbench(tmp_path / "other.evenhand") as wb:
        assert len(frozen_results(wb, "quay")) == 3  # the one that came, and one for each of two comparisons


def test_another_answer_stands_under_other_inputs(stocked: Workbench, out: Path, tmp_path: Path) -> None:
    without(out, HISTORY_FILE)
    with open_workbench(tmp_path / "other.evenhand") as wb:
        import_folder(wb, out, now=NOW)
        assert inputs_now(wb, "quay") != inputs_now(stocked, "quay")
