"""What an import does with logs that cannot be read: kept, held and told."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from tests.desk.small_folder import (
    LATER,
    NOW,
    Folder,
    changed_tables,
    digest,
    everything,
)

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.logs.layouts import Shelf
from evenhand.desk.logs.readings import Reader
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import find_run, run_history
from evenhand.errors import BadLog
from evenhand.folders.study_folder import RunEntry
from evenhand.records.runs import RunState
from evenhand.store import originals
from evenhand.store.workbench import Workbench

RUNS = 18


def counts(report) -> tuple[int, int, int]:
    return report.new, report.changed, report.same


UNREADABLE = {
    "binary": bytes(range(256)) * 40,
    "empty": b"",
    "header only": b"t [s],frame [ms]\n",
    "not a number": b"t [s],frame [ms]\n" + b"nan,nan\n" * 50,
    "cut archive": b"\x1f\x8b\x08\x00\x00\x00\x00\x00",
    "another header": b"a,b\n" + b"x,y\n" * 20,
}


@pytest.mark.parametrize("content", UNREADABLE.values(), ids=UNREADABLE.keys())
def test_an_unreadable_log_is_kept_and_held_and_the_rest_comes_in(
    wb: Workbench, folder: Folder, tmp_path: Path, content: bytes
) -> None:
    folder.files["logs/plover-tramlines-2.csv"] = content
    report = import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert report.new == RUNS
    assert [one.file for one in report.refused] == ["logs/plover-tramlines-2.csv"]
    held = find_run(wb, "plover tramlines 2")
    assert held.state is RunState.IN_DOUBT
    assert [fault.kind for fault in held.faults] == ["unreadable-log"]
    assert held.faults[0].evidence
    assert held.run.log == digest(content)
    assert originals.original(wb, digest(content)) == content
    states = [each.state for each in load_study(wb, "quay").runs if each.run.id != held.run.id]
    assert states == [RunState.LANDED] * (RUNS - 1)
    before = everything(wb.path)
    import_folder(wb, tmp_path / "study", now=LATER)
    assert changed_tables(before, everything(wb.path)) == set()


def test_what_cannot_be_judged_about_an_unreadable_log_is_said(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/plover-tramlines-2.csv"] = b""
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert run_history(wb, "plover tramlines 2").unjudged == ("Anything: its log could not be read.",)


def test_a_log_past_the_limit_is_refused_and_puts_no_empty_run_on_record(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    before = everything(stocked.path)
    huge = tmp_path / "study" / "logs/wren-causeway-1.csv"
    with huge.open("r+b") as file:
        file.truncate(2**31)  # a sparse file: it takes no room on the disk
    report = import_folder(stocked, tmp_path / "study", now=LATER)
    assert counts(report) == (0, 0, RUNS - 1)
    assert "past the limit" in report.refused[0].why
    assert changed_tables(before, everything(stocked.path)) == set()


def test_a_run_too_short_for_its_headline_number_is_held(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["tests"][0] |= {"metric": "low_1pct", "also": []}
    log = "logs/wren-causeway-1.csv"
    folder.files[log] = b"\n".join(folder.files[log].split(b"\n")[:60])
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    held = find_run(wb, "wren causeway 1")
    assert held.state is RunState.IN_DOUBT
    assert held.faults[0].kind == "no-headline-number"
    assert re.search(r"needs [\d,]+ frames", held.faults[0].evidence)


def test_a_run_without_a_usable_frame_is_not_advised_to_be_longer(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    log = "logs/wren-causeway-1.csv"
    header, *rows = folder.files[log].decode().splitlines()
    folder.files[log] = "\n".join([header, *(f"{row.split(',')[0]},0" for row in rows), ""]).encode()
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    fault = next(f for f in find_run(wb, "wren causeway 1").faults if f.kind == "no-headline-number")
    assert "longer" not in fault.todo
    assert "which column holds the frame times" in fault.todo


def test_the_reason_a_log_was_refused_does_not_hold_the_log_in_memory(folder: Folder) -> None:
    name = "logs/wren-causeway-1.csv"
    entry = RunEntry(test="causeway", setup="wren", label="a", log=name)
    for data in (b"\0\1\2" * 500, folder.files[name], b"", None):

        def bytes_of(file: str, data: bytes | None = data) -> bytes:
            if data is None:
                raise BadLog("it is gone", where=file) from OSError()
            return data

        source = Reader(bytes_of=bytes_of, layouts=Shelf()).read(entry).log
        assert source is not None
        assert source.trouble is not None
        trouble = source.trouble
        assert (trouble.__traceback__, trouble.__cause__, trouble.__context__) == (None, None, None)
