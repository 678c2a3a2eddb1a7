"""What is on record of a study, loaded at once; lists, names, keeping safe, opening."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder, small_folder

from evenhand.desk.listing import list_studies, waiting
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.names import metric_label, names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import default_place, open_desk
from evenhand.desk.upkeep import back_up, check_workbench
from evenhand.errors import BadRecord, NotFound, StoreProblem
from evenhand.store.workbench import Workbench


def test_a_study_that_is_not_on_record_is_told_with_the_nearest_one(stocked: Workbench) -> None:
    with pytest.raises(NotFound) as told:
        load_study(stocked, "qay")
    assert told.value.todo == "did you mean 'quay'?"


def test_on_an_empty_workbench_it_is_told_that_there_is_none(wb: Workbench) -> None:
    with pytest.raises(NotFound, match="no study has been stored yet"):
        load_study(wb, "quay")


def test_studies_are_listed_with_how_many_runs_wait(stocked: Workbench, tmp_path: Path) -> None:
    other = small_folder("mole", seed=2)
    other.files["logs/wren-causeway-2.csv"] = b""
    import_folder(stocked, other.write(tmp_path / "mole"), now=NOW)
    assert [(line.study.key, line.runs, line.in_doubt) for line in list_studies(stocked)] == [
        ("quay", 18, 0),
        ("mole", 18, 1),
    ]
    assert [each.run.label for each in waiting(load_study(stocked, "mole"))] == ["wren causeway 2"]


def test_where_each_setup_is_a_build_of_its_own_readers_see_the_build(stocked: Workbench) -> None:
    names = names_of(load_study(stocked, "quay"))
    assert (names.setup("wren"), names.test("causeway"), names.unit("render")) == (
        "Wren",
        "Salt Causeway",
        "min",
    )
    assert names.terms == "Stock, room 22 to 26\xa0°C"


def test_a_state_that_stands_alone_says_that_it_is_one(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    del folder.document["study"]["ambient_c"]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert names_of(load_study(wb, "quay")).terms == "State: stock"


def test_two_setups_of_one_build_go_by_their_own_names(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["setups"] = [
        {"key": "wren", "build": "wren", "name": "Wren, stock"},
        {"key": "plover", "build": "wren", "name": "Wren, mild", "state": "mild tune"},
    ]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    names = names_of(load_study(wb, "quay"))
    assert (names.setup("wren"), names.setup("plover")) == ("Wren, stock", "Wren, mild")
    assert names.terms == "room 22 to 26\xa0°C"
    wren, plover = (names.slot(key) for key in ("wren", "plover"))
    assert wren.number == load_study(wb, "quay").builds["wren"].slot
    assert wren.mark != plover.mark
    assert plover.number not in {build.slot for build in load_study(wb, "quay").builds.values()}


def test_numbers_have_names_for_readers() -> None:
    assert metric_label("low_1pct") == "1% low"


# --- keeping safe


def test_a_backup_is_a_whole_workbench(stocked: Workbench, tmp_path: Path) -> None:
    told: list[tuple[int, int, str]] = []
    size = back_up(stocked, tmp_path / "copy.evenhand", watch=lambda *step: told.append(step))
    assert size == (tmp_path / "copy.evenhand").stat().st_size
    assert told[-1][0] == told[-1][1]
    assert told[-1][2] == "pages"
    report = check_workbench(tmp_path / "copy.evenhand")
    assert (report.sound, report.originals, report.traces) == (True, 12, 12)
    with open_desk(tmp_path / "copy.evenhand", create=False) as copy:
        assert load_study(copy, "quay") == load_study(stocked, "quay")


def test_a_backup_never_goes_over_something(stocked: Workbench, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(StoreProblem, match="is there already"):
        back_up(stocked, tmp_path / "letter.txt")
    assert (tmp_path / "letter.txt").read_text() == "dear"


def test_a_place_where_nothing_can_be_kept_is_told_in_words(stocked: Workbench, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreProblem, match="cannot be written"):
        back_up(stocked, tmp_path / "file" / "below.evenhand")
    with pytest.raises(StoreProblem, match="cannot be opened"):
        open_desk(tmp_path / "file" / "below.evenhand")


def test_the_usual_place_is_in_the_users_data_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert default_place() == tmp_path / "evenhand" / "workbench.evenhand"
    with open_desk() as wb:
        assert wb.path == default_place()
    assert check_workbench(None).sound


# --- a study file


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"\xff\xfe[study]", "the text is not UTF-8"),
        (b"[study\n", "this is not TOML"),
        (b"#" * (17 * 2**20), "the file is too large for a study file"),
    ],
    ids=["another encoding", "no TOML", "too large"],
)
def test_a_study_file_that_cannot_be_used_is_told_in_words(
    wb: Workbench, tmp_path: Path, content: bytes, found: str
) -> None:
    (tmp_path / "study").mkdir()
    (tmp_path / "study" / "study.toml").write_bytes(content)
    with pytest.raises(BadRecord, match=found) as told:
        import_folder(wb, tmp_path / "study", now=NOW)
    assert "study.toml" in told.value.where


def test_a_study_file_that_is_a_folder_is_told_in_words(wb: Workbench, tmp_path: Path) -> None:
    (tmp_path / "study" / "study.toml").mkdir(parents=True)
    with pytest.raises(BadRecord, match="cannot be read"):
        import_folder(wb, tmp_path / "study", now=NOW)
