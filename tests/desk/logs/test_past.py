"""What became of a study goes with it into its folder, and comes with it onto another workbench."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.desk.same_content import assert_comes_back_the_same
from tests.desk.small_folder import LATER, NOW, Folder, everything, small_folder

from evenhand.desk.comparison.comparing import compare
from evenhand.desk.comparison.recalling import frozen_results
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import ImportReport, import_folder
from evenhand.desk.runs import deciding
from evenhand.desk.runs.said import Said
from evenhand.desk.study.histories import study_history
from evenhand.desk.upkeep import check_workbench
from evenhand.errors import BadRecord
from evenhand.folders.history_file import HISTORY_FILE, RESULTS_FILE
from evenhand.store.workbench import Workbench, open_workbench

MUCH_LATER = LATER + timedelta(days=30)


def said(wb: Workbench) -> list[tuple[str, int]]:
    """What compare says of changed terms."""
    return [(term.words, term.runs) for term in compare(wb, "quay", now=MUCH_LATER).changed_terms]


def told(wb: Workbench) -> list[tuple[Any, ...]]:
    """What history says was changed."""
    return [
        (each.at, each.record, each.key, each.field, each.before, each.after)
        for each in study_history(wb, "quay").changes
    ]


def moved(wb: Workbench, folder: Folder, at: Path, margin: float, *, hours: int = 1) -> ImportReport:
    """The study brought in again with another margin."""
    folder.document["study"]["margin"] = margin
    return import_folder(wb, folder.write(at), now=NOW + timedelta(hours=hours))


def corrections(folder: Folder) -> None:
    """What is corrected in the folder between two imports, after its margin was moved."""
    folder.document["study"]["margin"] = 0.09
    folder.document["tests"][0]["settings"] = {"quality": "high"}
    folder.document["setups"][1]["stamps"] = {"os": "Tern 10"}
    folder.run("wren render 2")["score"] = 12.01


@pytest.fixture(scope="module")
def source_files(template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with `source` as it lies on the disk, its export `out` and that brought into `elsewhere`."""
    place, folder = tmp_path_factory.mktemp("past"), small_folder()
    shutil.copy(template, place / "source.evenhand")
    with open_workbench(place / "source.evenhand") as wb:
        compare(wb, "quay", now=NOW)
        moved(wb, folder, place / "study", 0.09)
        corrections(folder)
        moved(wb, folder, place / "study", 0.05, hours=2)
        deciding.set_aside(wb, "wren causeway 1", reason="interrupted", said=Said(note="", now=LATER))
        compare(wb, "quay", now=LATER)
        export_study(wb, "quay", place / "out")
    with open_workbench(place / "elsewhere.evenhand") as wb:
        import_folder(wb, place / "out", now=MUCH_LATER)
    return place


@pytest.fixture
def source(source_files: Path, folder: Folder, tmp_path: Path) -> Iterator[Workbench]:
    """The small study with terms moved after its runs, a run corrected, and two frozen results."""
    corrections(folder)
    folder.document["study"]["margin"] = 0.05
    folder.write(tmp_path / "study")
    shutil.copy(source_files / "source.evenhand", tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as wb:
        yield wb


@pytest.fixture
def elsewhere(source_files: Path, tmp_path: Path) -> Iterator[Workbench]:
    """Another workbench with the study as it was exported to `out`."""
    shutil.copytree(source_files / "out", tmp_path / "out")
    shutil.copy(source_files / "elsewhere.evenhand", tmp_path / "elsewhere.evenhand")
    with open_workbench(tmp_path / "elsewhere.evenhand") as wb:
        yield wb


def test_a_changed_term_is_the_same_reservation_elsewhere(source: Workbench, elsewhere: Workbench) -> None:
    assert len(said(source)) == 5
    assert sum(words.startswith("The score of wren render 2 was changed") for words, _ in said(source)) == 1
    assert said(elsewhere) == said(source)
    assert said(elsewhere)[0] == (
        "The margin was changed from 3\xa0% to 9\xa0% on 2031-05-04, after 18 runs were on record.",
        18,
    )


def test_history_tells_the_same_elsewhere(source: Workbench, elsewhere: Workbench) -> None:
    assert {each[1] for each in told(source)} == {"study", "test", "setup", "run"}
    assert sorted(told(elsewhere), key=repr) == sorted(told(source), key=repr)


def test_frozen_results_come_along_and_the_last_still_stands(source: Workbench, elsewhere: Workbench) -> None:
    was, now = frozen_results(source, "quay"), frozen_results(elsewhere, "quay")
    assert [(one.frozen.at, one.frozen.body, one.stands) for one in now] == [
        (one.frozen.at, one.frozen.body, one.stands) for one in was
    ]
    assert [one.stands for one in now] == [False, True]
    assert compare(elsewhere, "quay", now=MUCH_LATER).frozen == now[-1].frozen


def test_everything_else_comes_back_the_same_too(source: Workbench, tmp_path: Path) -> None:
    assert_comes_back_the_same(source, "quay", tmp_path)


def test_the_workbench_it_came_to_is_sound(elsewhere: Workbench) -> None:
    assert check_workbench(elsewhere.path).problems == ()


def test_importing_it_again_adds_nothing(elsewhere: Workbench, tmp_path: Path) -> None:
    before = everything(elsewhere.path)
    report = import_folder(elsewhere, tmp_path / "out", now=MUCH_LATER + timedelta(days=1))
    after = everything(elsewhere.path)
    assert report.changes == ()
    for table in ("history", "results", "decisions", "studies", "tests", "setups"):
        assert after[table] == before[table], table


def test_it_goes_on_from_there_to_a_third_workbench(
    source: Workbench, elsewhere: Workbench, tmp_path: Path
) -> None:
    export_study(elsewhere, "quay", tmp_path / "on")
    with open_workbench(tmp_path / "third.evenhand") as third:
        import_folder(third, tmp_path / "on", now=MUCH_LATER + timedelta(days=9))
        assert said(third) == said(source)
        assert sorted(told(third), key=repr) == sorted(told(source), key=repr)
        assert len(frozen_results(third, "quay")) == 2


def test_what_changed_at_the_source_since_follows_under_its_own_date(
    source: Workbench, elsewhere: Workbench, folder: Folder, tmp_path: Path
) -> None:
    moved(source, folder, tmp_path / "study", 0.12, hours=50)
    export_study(source, "quay", tmp_path / "again")
    report = import_folder(elsewhere, tmp_path / "again", now=MUCH_LATER + timedelta(days=1))
    assert said(elsewhere) == said(source)
    assert len(said(source)) == 6
    assert [(each.field, each.before, each.after) for each in report.changes] == [("margin", 0.05, 0.12)]
    assert report.changes[0].at == NOW + timedelta(hours=50)


def test_runs_that_came_after_a_change_are_not_counted_as_there_before(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    few = folder.without(
        *(f"{setup} {test} 3" for setup in ("wren", "plover") for test in ("causeway", "render"))
    )
    import_folder(wb, few.write(tmp_path / "study"), now=NOW)
    moved(wb, few, tmp_path / "study", 0.09)
    few.document["runs"] = folder.runs
    import_folder(wb, few.write(tmp_path / "study"), now=LATER)
    export_study(wb, "quay", tmp_path / "out")
    with open_workbench(tmp_path / "elsewhere.evenhand") as other:
        import_folder(other, tmp_path / "out", now=MUCH_LATER)
        assert said(other) == said(wb)
        assert [runs for _, runs in said(other)] == [14]


def test_a_study_of_which_nothing_was_changed_has_no_history_in_its_folder(
    stocked: Workbench, tmp_path: Path
) -> None:
    export_study(stocked, "quay", tmp_path / "out")
    assert not (tmp_path / "out" / HISTORY_FILE).exists()
    assert not (tmp_path / "out" / RESULTS_FILE).exists()


def test_the_report_counts_both_files(source: Workbench, tmp_path: Path) -> None:
    report = export_study(source, "quay", tmp_path / "out")
    files = [path for path in (tmp_path / "out").rglob("*") if path.is_file()]
    assert {HISTORY_FILE, RESULTS_FILE} <= {path.name for path in files}
    assert (report.files, report.bytes_written) == (len(files), sum(path.stat().st_size for path in files))


def test_setups_and_tests_that_a_study_named_once_come_along(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    """A test without a run that was dropped from the study is nowhere else on record."""
    spare = {"key": "spare", "name": "Spare", "measures": "score", "unit": "min", "direction": "lower"}
    folder.document["tests"].append(spare)
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    folder.document["tests"].pop()
    import_folder(wb, folder.write(tmp_path / "study"), now=LATER)
    export_study(wb, "quay", tmp_path / "out")
    with open_workbench(tmp_path / "elsewhere.evenhand") as other:
        import_folder(other, tmp_path / "out", now=MUCH_LATER)
        (words,) = [words for words, _ in said(wb)]
        assert words.startswith(
            "The list of tests was changed from Salt Causeway, Nine Tramlines, Night render, spare"
        )
        assert said(other) == said(wb)


def test_what_another_study_uses_is_left_as_it_is(source: Workbench, tmp_path: Path) -> None:
    export_study(source, "quay", tmp_path / "out")
    other = small_folder("mole", seed=2)
    other.document["tests"][0]["settings"] = {"quality": "high"}
    other.document["setups"][1]["stamps"] = {"os": "Tern 10"}
    with open_workbench(tmp_path / "elsewhere.evenhand") as wb:
        import_folder(wb, other.write(tmp_path / "mole"), now=NOW)
        import_folder(wb, tmp_path / "out", now=MUCH_LATER)
        assert compare(wb, "mole", now=MUCH_LATER).changed_terms == ()
        margins = ["The margin was changed"] * 2
        assert [words[:22] for words, _ in said(wb)] == [*margins, "The score of wren rend"]


# --- what an import says was changed


def test_an_import_tells_the_fields_that_it_changed(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["tests"][0]["name"] = "The Causeway"
    folder.document["setups"][0]["state"] = "tuned"
    report = moved(stocked, folder, tmp_path / "study", 0.09)
    assert {(each.record, each.key, each.field, each.before, each.after) for each in report.changes} == {
        ("study", "quay", "margin", 0.03, 0.09),
        ("test", "causeway", "name", "Salt Causeway", "The Causeway"),
        ("setup", "wren", "state", "stock", "tuned"),
        ("setup", "wren", "name", "Wren, stock", "Wren, tuned"),
    }
    assert moved(stocked, folder, tmp_path / "study", 0.09, hours=2).changes == ()


def test_a_study_that_is_new_here_has_changed_nothing(elsewhere: Workbench, tmp_path: Path) -> None:
    with open_workbench(tmp_path / "fresh.evenhand") as fresh:
        assert import_folder(fresh, tmp_path / "out", now=MUCH_LATER).changes == ()


# --- what is refused


def edited(change: Callable[[dict[str, Any]], None]) -> Callable[[str], str]:
    def edit(text: str) -> str:
        first, *rest = text.splitlines()
        line = json.loads(first)
        change(line)
        return "\n".join([json.dumps(line), *rest, ""])

    return edit


@pytest.mark.parametrize(
    ("name", "edit", "match"),
    [
        (HISTORY_FILE, lambda text: text + "{", rf"{HISTORY_FILE}, line \d+: this is not a line of JSON"),
        (HISTORY_FILE, lambda text: text.replace("0.09", "NaN"), "NaN is no number"),
        (HISTORY_FILE, edited(lambda line: line.update(record="recipe")), "line 1: unknown record 'recipe'"),
        (HISTORY_FILE, edited(lambda line: line.update(key="k7")), "calls itself 'k6'"),
        (HISTORY_FILE, edited(lambda line: line.pop("after")), "'after' is what a record became"),
        (HISTORY_FILE, edited(lambda line: line["after"].pop("kind")), "kind: Field required"),
        (HISTORY_FILE, edited(lambda line: line.update(at="2031-05-04")), "at: "),
        (HISTORY_FILE, edited(lambda line: line.update(more=1)), "more: "),
        (HISTORY_FILE, lambda text: text.replace('"quay"', '"mole"'), "of the study 'mole' as well"),
        (RESULTS_FILE, edited(lambda line: line.update(body="{}")), "no answer about the study 'quay'"),
        (RESULTS_FILE, edited(lambda line: line.update(body="[")), "no answer about the study 'quay'"),
        (RESULTS_FILE, edited(lambda line: line.pop("input_hash")), "input_hash: Field required"),
    ],
)
def test_a_line_that_cannot_be_used_is_refused_before_anything_is_stored(
    source: Workbench, tmp_path: Path, name: str, edit: Callable[[str], str], match: str
) -> None:
    export_study(source, "quay", tmp_path / "out")
    path = tmp_path / "out" / name
    path.write_text(edit(path.read_text(encoding="utf-8")), encoding="utf-8")
    with open_workbench(tmp_path / "elsewhere.evenhand") as wb:
        before = everything(wb.path)
        with pytest.raises(BadRecord, match=match):
            import_folder(wb, tmp_path / "out", now=MUCH_LATER)
        assert everything(wb.path) == before


def test_a_log_that_goes_by_the_name_is_a_log(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.files[HISTORY_FILE] = folder.files.pop("logs/wren-causeway-1.csv")
    folder.run("wren causeway 1")["log"] = HISTORY_FILE
    assert import_folder(wb, folder.write(tmp_path / "study"), now=NOW).refused == ()
    moved(wb, folder, tmp_path / "study", 0.09)
    export_study(wb, "quay", tmp_path / "out")
    with open_workbench(tmp_path / "elsewhere.evenhand") as other:
        import_folder(other, tmp_path / "out", now=MUCH_LATER)
        assert said(other) == said(wb)


# --- runs that the folder names no longer


def corrected(folder: Folder, how: str) -> None:
    """One run of the folder corrected so that another run is made of it."""
    if how == "boot of a score":
        folder.run("wren render 1")["boot"] = "wren-9"
    elif how == "setup of a log":
        folder.run("wren causeway 1")["setup"] = "plover"
    else:
        folder.files["logs/wren-causeway-1.csv"] = small_folder(seed=3).files["logs/wren-causeway-1.csv"]


@pytest.mark.parametrize("how", ["boot of a score", "setup of a log", "bytes of a log"])
def test_a_run_from_before_a_correction_travels_beside_the_one_that_was_made_of_it(
    stocked: Workbench, folder: Folder, tmp_path: Path, how: str
) -> None:
    corrected(folder, how)
    report = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert len(report.not_named) == 1
    assert_comes_back_the_same(stocked, "quay", tmp_path)
    with open_workbench(tmp_path / "fresh.evenhand") as fresh:
        here, there = (compare(wb, "quay", now=MUCH_LATER) for wb in (stocked, fresh))
    assert there.earlier == here.earlier
    assert len(here.earlier) == (how != "setup of a log")  # two runs of one log are held as copies
    gone = [each.run.id for each in there.record.runs if not each.named]
    assert gone == [run.id for run in report.not_named]
