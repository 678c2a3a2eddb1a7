"""Temperature logs go out with a study's folder and come back; what was taken back stays so."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import NOW, Folder
from tests.desk.tuning.small_chip import TUNED, lay_part
from tests.desk.tuning.warm_log import LOG, NAMED, brought

from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import ImportReport, import_folder
from evenhand.desk.tuning.heat import heat_logs
from evenhand.desk.tuning.heat_noting import take_back_heat
from evenhand.store.workbench import Workbench, open_workbench

HEAT = {
    "setup": "wren", "part": "processor", "file": "heat/warm.csv", "temperature": NAMED["temperature"],
    "watts": NAMED["watts"], "room_c": 22.0,
}  # fmt: skip


@pytest.fixture
def warm(folder: Folder) -> Folder:
    folder.document["tuned"] = [TUNED]
    folder.document["heat"] = [dict(HEAT)]
    folder.files["heat/warm.csv"] = LOG
    return folder


def came(folder: Folder, tmp_path: Path, *, confirm: bool) -> tuple[Workbench, ImportReport]:
    wb = open_workbench(tmp_path / "other.evenhand")
    place = folder.write(tmp_path / "folder")
    return wb, import_folder(wb, place, now=NOW, ask=(lambda _: True) if confirm else None)


def test_out_and_in_again_they_are_the_same(bring: Bring, folder: Folder, tmp_path: Path) -> None:
    wb = bring(folder)
    lay_part(wb)
    first = brought(wb, note="side panel on", room="", room_c=22.0).heat
    export_study(wb, "quay", tmp_path / "out")
    assert (tmp_path / "out" / "warm.csv").read_bytes() == LOG
    with open_workbench(tmp_path / "other.evenhand") as other:
        report = import_folder(other, tmp_path / "out", now=NOW)
        assert report.refused == ()
        (again,) = heat_logs(other, "wren", "processor")
        assert (again.key, again.columns, again.room_c, again.note, again.log) == (
            first.key, first.columns, first.room_c, first.note, first.log,
        )  # fmt: skip
        import_folder(other, tmp_path / "out", now=NOW)
        assert heat_logs(other, "wren", "processor") == (again,)


def test_columns_that_nobody_confirmed_are_asked_about_once(warm: Folder, tmp_path: Path) -> None:
    wb, report = came(warm, tmp_path, confirm=False)
    with wb:
        assert [each.file for each in report.refused] == ["heat/warm.csv"]
        assert heat_logs(wb, "wren", "processor") == ()
        again = import_folder(wb, tmp_path / "folder", now=NOW, ask=lambda _: True)
        assert again.refused == ()
        assert len(heat_logs(wb, "wren", "processor")) == 1


def test_a_file_that_is_missing_or_lacks_a_column_is_told_and_nothing_else_is_lost(
    warm: Folder, tmp_path: Path
) -> None:
    warm.document["heat"].append({**HEAT, "watts": NAMED["other"], "temperature": "nowhere [°C]"})
    wb, report = came(warm, tmp_path, confirm=True)
    with wb:
        assert len(report.refused) == 1
        assert "reads no column 'nowhere [°C]'" in report.refused[0].why
        assert len(heat_logs(wb, "wren", "processor")) == 1


def test_what_was_taken_back_here_is_not_brought_in_again(warm: Folder, tmp_path: Path) -> None:
    wb, _ = came(warm, tmp_path, confirm=True)
    with wb:
        (log,) = heat_logs(wb, "wren", "processor")
        take_back_heat(wb, "wren", "processor", log.id, "the probe lay beside it", now=NOW)
        import_folder(wb, tmp_path / "folder", now=NOW)
        assert heat_logs(wb, "wren", "processor") == ()
