"""A whole file waits behind one of the same setup that was begun earlier, and behind no other."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.bench.test_matching import planned
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import LATER

from evenhand.desk.bench.watching import watch_folder
from evenhand.desk.logs.file_turns import is_in_turn
from evenhand.desk.logs.folder_files import files_in
from evenhand.records.watches import WatchedFolder
from evenhand.store.workbench import Workbench

SENSORS = b"time,board [\xc2\xb0C],core [MHz]\n" + b"".join(
    b"2031-05-04 09:30:%02d,51,4500\n" % second for second in range(60)
)


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    folder = tmp_path / "logs"
    folder.mkdir()
    return folder


def in_turn(wb: Workbench, watch: WatchedFolder, name: str, *ahead: str) -> bool:
    there = {each.path: each for each in files_in(Path(str(watch.folder)))}
    return is_in_turn(wb, watch, there[name], ahead=[there[each] for each in ahead], now=LATER)


@pytest.mark.parametrize(
    ("earlier", "content", "expected"),
    [
        ("wren 1.csv", log(7)[:5000], False),
        ("wren 1.csv", b"", False),
        ("plover 1.csv", log(7)[:5000], True),
        ("wren nine tramlines.csv", log(7)[:5000], True),
        ("wren 1.csv", SENSORS, True),
    ],
)
def test_behind_which_a_whole_file_waits(
    stocked: Workbench, logs: Path, earlier: str, content: bytes, expected: bool
) -> None:
    planned(stocked)
    watch = watch_folder(stocked, str(logs), study=STUDY, by="me", now=LATER)
    (logs / earlier).write_bytes(content)
    (logs / "wren 2.csv").write_bytes(log(8))
    assert in_turn(stocked, watch, "wren 2.csv", earlier) is expected


def test_behind_the_run_that_is_to_be_made_before_it_a_whole_file_waits(
    stocked: Workbench, logs: Path
) -> None:
    planned(stocked)
    watch = watch_folder(stocked, str(logs), study=STUDY, by="me", now=LATER)
    (logs / "wren 1.csv").write_bytes(log(7)[:5000])
    (logs / "plover 1.csv").write_bytes(log(8))
    assert not in_turn(stocked, watch, "plover 1.csv", "wren 1.csv")


def test_one_that_waits_in_the_inbox_anyway_waits_for_none(stocked: Workbench, logs: Path) -> None:
    planned(stocked)
    watch = watch_folder(stocked, str(logs), study=STUDY, by="me", now=LATER)
    (logs / "wren 1.csv").write_bytes(log(7)[:5000])
    (logs / "wren against plover.csv").write_bytes(log(8))
    assert in_turn(stocked, watch, "wren against plover.csv", "wren 1.csv")


def test_one_that_has_none_ahead_is_in_turn(stocked: Workbench, logs: Path) -> None:
    watch = watch_folder(stocked, str(logs), study=STUDY, by="me", now=LATER)
    (logs / "wren causeway.csv").write_bytes(log(8))
    assert in_turn(stocked, watch, "wren causeway.csv")
