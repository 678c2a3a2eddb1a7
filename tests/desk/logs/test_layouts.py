"""Which layout is remembered for a header: the latest that somebody stated, never one since corrected."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder, everything, small_folder

from evenhand.desk.bench.uploading import take_in
from evenhand.desk.logs.columns import confirm_columns, look_at_log
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.logs.layouts import header_of, known_for, remember, remembered
from evenhand.desk.on_record import load_study
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.store.headers import key_of
from evenhand.store.history import history_of
from evenhand.store.workbench import Workbench, open_workbench
from evenhand.traces.fingerprints import fingerprint
from evenhand.traces.probe import probe

LOG = "logs/wren-causeway-1.csv"


def corrected(folder: Folder, unit: str) -> Folder:
    """The same folder with its frame times said to be in another unit."""
    columns = {"frame_time": {"column": "frame [ms]", "unit": unit}, "elapsed_time": {"column": "t [s]"}}
    folder.document["layouts"] = [{"name": f"in {unit}", "kind": "frames", "columns": columns}]
    return folder


def silent(key: str, *, seed: int = 2) -> Folder:
    """Another study with logs of the same header, and no word on which column is what."""
    folder = small_folder(key, seed=seed)
    del folder.document["layouts"]
    return folder


def unit_of(wb: Workbench, study: str) -> set[str]:
    """The units in which the frame times of a study's logs were read."""
    layouts = {layout.fingerprint: layout for layout in remembered(wb)}
    marks = {each.run.log_layout for each in load_study(wb, study).runs if each.run.log_layout}
    columns = [layouts[mark].first(Role.FRAME_TIME) for mark in marks]
    return {column.unit for column in columns if column}


def test_a_layout_corrected_in_one_study_is_what_later_studies_are_read_by(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    import_folder(stocked, corrected(folder, "us").write(tmp_path / "study"), now=LATER)
    import_folder(stocked, silent("mole").write(tmp_path / "mole"), now=LATER)
    assert unit_of(stocked, "mole") == {"us"}


def test_a_study_on_record_keeps_its_layout_until_it_is_brought_in_again(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    mole = silent("mole").write(tmp_path / "mole")
    import_folder(stocked, mole, now=NOW)
    before = load_study(stocked, "mole")
    import_folder(stocked, corrected(folder, "us").write(tmp_path / "study"), now=LATER)
    assert load_study(stocked, "mole") == before
    assert unit_of(stocked, "mole") == {"ms"}
    report = import_folder(stocked, mole, now=LATER)
    assert unit_of(stocked, "mole") == {"us"}
    assert report.changed == 12
    after = load_study(stocked, "mole")
    was, now = (
        next(e.metrics.values["average_fps"] for e in study.runs if e.run.log) for study in (before, after)
    )
    assert now == pytest.approx(1000 * was)


def test_a_correction_that_is_taken_back_is_a_correction_too(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    for unit in ("us", "ms"):
        import_folder(stocked, corrected(folder, unit).write(tmp_path / "study"), now=LATER)
    import_folder(stocked, silent("mole").write(tmp_path / "mole"), now=LATER)
    assert unit_of(stocked, "mole") == {"ms"}


def test_bringing_an_uncorrected_study_in_again_brings_the_wrong_column_not_back(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    """Its folder names the old layout, and its runs are read by it as before: that corrects nothing."""
    import_folder(stocked, small_folder("other", seed=3).write(tmp_path / "other"), now=NOW)
    import_folder(stocked, corrected(folder, "us").write(tmp_path / "study"), now=LATER)
    import_folder(stocked, tmp_path / "other", now=LATER)
    assert unit_of(stocked, "other") == {"ms"}
    import_folder(stocked, silent("mole").write(tmp_path / "mole"), now=LATER)
    assert unit_of(stocked, "mole") == {"us"}


def test_what_a_person_confirms_stands_from_then_on(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    import_folder(stocked, corrected(folder, "us").write(tmp_path / "study"), now=LATER)
    log = tmp_path / "study" / LOG
    confirm_columns(stocked, look_at_log(stocked, log), now=LATER)
    import_folder(stocked, silent("mole").write(tmp_path / "mole"), now=LATER)
    assert unit_of(stocked, "mole") == {"ms"}


def test_history_says_which_layout_stood_for_a_header_and_since_when_another_does(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    (first,) = remembered(stocked)
    import_folder(stocked, corrected(folder, "us").write(tmp_path / "study"), now=LATER)
    second = remembered(stocked)[-1]
    told = history_of(stocked, "headers", key_of(header_of(first), LogKind.FRAMES))
    assert [change.at for change in told] == [NOW, LATER]
    assert told[0].before is None
    assert told[1].before is not None
    assert (told[1].before["layout"], told[1].after["layout"]) == (first.fingerprint, second.fingerprint)


def test_importing_a_corrected_study_twice_changes_nothing_at_all(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    study = corrected(folder, "us").write(tmp_path / "study")
    import_folder(stocked, study, now=LATER)
    before = everything(stocked.path)
    import_folder(stocked, study, now=LATER)
    assert everything(stocked.path) == before


def test_a_header_may_stand_for_frames_and_for_sensors(wb: Workbench) -> None:
    frames = Layout(fingerprint="ab", kind=LogKind.FRAMES, columns=(Column(header="t", role=Role.ELAPSED),))
    sensors = Layout(fingerprint="ab", kind=LogKind.SENSORS, columns=(Column(header="c", role=Role.CLOCK),))
    kept = [remember(wb, layout, now=NOW) for layout in (frames, sensors, frames)]
    assert kept[0] == kept[2]
    assert {header_of(one) for one in remembered(wb)} == {"ab"}
    assert len(remembered(wb)) == 2


def test_a_layout_has_the_same_mark_on_every_workbench(stocked: Workbench, tmp_path: Path) -> None:
    columns = (Column(header="frame [ms]", role=Role.FRAME_TIME, unit="us"),)
    layout = Layout(fingerprint=header_of(remembered(stocked)[0]), kind=LogKind.FRAMES, columns=columns)
    with open_workbench(tmp_path / "other.evenhand") as other:
        assert remember(other, layout, now=NOW) == remember(stocked, layout, now=LATER)


def without_runs(folder: Folder) -> Folder:
    """The study as it stands before its first bench day."""
    folder.document["runs"] = []
    return folder


def test_the_layouts_of_a_study_without_runs_serve_its_first_log(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    data = folder.files[LOG]
    import_folder(wb, without_runs(folder).write(tmp_path / "study"), now=NOW)
    seen = probe(data, name="first.csv")
    known = known_for(remembered(wb), seen)
    assert known is not None
    assert known.first(Role.FRAME_TIME) == Column(header="frame [ms]", role=Role.FRAME_TIME, unit="ms")
    assert header_of(known) == fingerprint(seen.header)
    facts = {"study": "quay", "test": "causeway", "setup": "wren"}
    came = take_in(wb, data, name="first.csv", facts=facts, by="rig", now=LATER)
    assert came.landed is not None, came.waits


def test_what_was_confirmed_for_a_header_goes_before_what_a_study_said_before_its_logs(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    import_folder(wb, without_runs(folder).write(tmp_path / "study"), now=NOW)
    seen = probe(folder.files[LOG], name="first.csv")
    said = Column(header="frame [ms]", role=Role.FRAME_TIME, unit="us")
    remember(
        wb, Layout(fingerprint=fingerprint(seen.header), kind=LogKind.FRAMES, columns=(said,)), now=LATER
    )
    known = known_for(remembered(wb), seen)
    assert known is not None
    assert known.first(Role.FRAME_TIME) == said


def test_two_that_fit_equally_well_leave_it_to_the_person(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    for unit in ("ms", "us"):
        import_folder(wb, corrected(without_runs(folder), unit).write(tmp_path / unit), now=NOW)
    assert known_for(remembered(wb), probe(folder.files[LOG], name="first.csv")) is None


def test_a_study_without_runs_that_is_brought_in_again_keeps_its_layouts_once(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    study = without_runs(folder).write(tmp_path / "study")
    import_folder(wb, study, now=NOW)
    before = remembered(wb)
    import_folder(wb, study, now=LATER)
    assert remembered(wb) == before
