"""New files of a watched folder are filed, wait, or are known again; what lay there before is no news."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.bench.test_matching import planned
from tests.desk.landing_cases import STUDY, landed, log
from tests.desk.small_folder import LATER, NOW, small_folder

from evenhand.desk.bench.inbox import inbox
from evenhand.desk.bench.planning import plan_now, skip
from evenhand.desk.bench.watching import (
    end_watch,
    news,
    refused_in,
    seen_of,
    take_file,
    watch_folder,
    watched_now,
)
from evenhand.desk.logs import folder_files
from evenhand.desk.logs.dropping import Dropped
from evenhand.desk.logs.folder_files import StillWritten, files_in
from evenhand.desk.on_record import load_study
from evenhand.desk.study.away import bring_study_back, put_study_away
from evenhand.desk.study.away_waiting import land_waiting
from evenhand.errors import BadRecord
from evenhand.records.watches import WatchedFolder
from evenhand.store import watches
from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def wb(quay_file: Path, tmp_path: Path) -> Iterator[Workbench]:
    shutil.copy(quay_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    folder = tmp_path / "logs of the day"
    folder.mkdir()
    return folder


def watch(
    wb: Workbench, folder: Path, *, study: str | None = STUDY, present_too: bool = False
) -> WatchedFolder:
    return watch_folder(wb, str(folder), study=study, present_too=present_too, by="me", now=LATER)


def take_all(wb: Workbench, of: WatchedFolder) -> list[Dropped]:
    """What a look that finds every file whole takes in."""
    new = news(files_in(Path(str(of.folder))), seen_of(wb, of))
    return [take_file(wb, of, each, now=LATER) for each in new]


def test_a_log_whose_run_is_sure_is_filed_and_taken_once(wb: Workbench, logs: Path) -> None:
    of = watch(wb, logs)
    (logs / "wren").mkdir()
    (logs / "wren" / "causeway.csv").write_bytes(log(9))
    (came,) = take_all(wb, of)
    assert (came.name, came.sort) == ("wren/causeway.csv", "filed")
    assert take_all(wb, of) == []
    assert len(load_study(wb, STUDY).runs) == 19
    assert (logs / "wren" / "causeway.csv").read_bytes() == log(9)


def test_an_odd_one_waits_in_the_inbox(wb: Workbench, logs: Path) -> None:
    of = watch(wb, logs)
    (logs / "notes.txt").write_bytes(b"bring the other cable\n")
    (came,) = take_all(wb, of)
    assert came.sort == "waits"
    (waiting,) = inbox(wb)
    assert waiting.arrival.about == {"folder": str(logs), "study": STUDY}
    assert waiting.arrival.by == "folder"


def test_what_lay_there_before_is_no_news_unless_asked_for(wb: Workbench, logs: Path) -> None:
    (logs / "wren causeway.csv").write_bytes(log(9))
    of = watch(wb, logs)
    assert take_all(wb, of) == []
    end_watch(wb, study=STUDY, by="me", now=LATER)
    asked = watch(wb, logs, present_too=True)
    assert [came.sort for came in take_all(wb, asked)] == ["filed"]


def test_one_that_lay_there_before_and_changes_is_news(wb: Workbench, logs: Path) -> None:
    (logs / "wren causeway.csv").write_bytes(b"")
    of = watch(wb, logs)
    (logs / "wren causeway.csv").write_bytes(log(9))
    assert [came.sort for came in take_all(wb, of)] == ["filed"]


def test_what_came_while_nobody_watched_is_found_by_what_was_seen_before(
    wb: Workbench, logs: Path, tmp_path: Path
) -> None:
    of = watch(wb, logs)
    (logs / "wren causeway 1.csv").write_bytes(log(9))
    take_all(wb, of)
    wb.close()
    (logs / "wren causeway 2.csv").write_bytes(log(10))
    with open_workbench(tmp_path / "bench.evenhand") as later:
        (same,) = watched_now(later)
        assert same == of
        assert [came.name for came in take_all(later, same)] == ["wren causeway 2.csv"]


def test_the_same_folder_named_again_goes_on_and_another_takes_its_place(
    wb: Workbench, logs: Path, tmp_path: Path
) -> None:
    of = watch(wb, logs)
    assert watch(wb, logs / "..").folder == str(tmp_path)
    assert [each.folder for each in watched_now(wb)] == [str(tmp_path)]
    again = watch(wb, logs)
    assert again.id != of.id
    assert watch(wb, logs) == again


def test_one_folder_is_watched_for_one_study(wb: Workbench, logs: Path, tmp_path: Path) -> None:
    watch(wb, logs, study=None)
    with pytest.raises(BadRecord, match="watched for any study already"):
        watch(wb, logs)


def test_a_file_that_is_a_run_is_known_again(wb: Workbench, logs: Path, tmp_path: Path) -> None:
    of = watch(wb, logs)
    (logs / "copy.csv").write_bytes(small_folder().files["logs/wren-causeway-1.csv"])
    (came,) = take_all(wb, of)
    assert came.sort == "known"
    assert came.words == "It is on record already, as the run wren causeway 1."
    assert inbox(wb) == ()
    assert take_all(wb, of) == []


def test_one_that_has_grown_since_it_was_filed_waits_with_both_sizes(wb: Workbench, logs: Path) -> None:
    of, data = watch(wb, logs), log(9)
    half = data[: data.rindex(b"\n", 0, len(data) // 2) + 1]
    (logs / "wren causeway.csv").write_bytes(half)
    assert [came.sort for came in take_all(wb, of)] == ["filed"]
    (logs / "wren causeway.csv").write_bytes(data)
    (came,) = take_all(wb, of)
    assert came.sort == "waits"
    assert f"{len(half):,} bytes long, and has grown to {len(data):,}" in came.words
    assert len(load_study(wb, STUDY).runs) == 19
    (waiting,) = inbox(wb)
    assert "has grown" in waiting.why


def test_a_half_that_was_no_run_leaves_the_inbox_to_the_whole(wb: Workbench, logs: Path) -> None:
    of, data = watch(wb, logs), log(9)
    (logs / "wren causeway.csv").write_bytes(data[:12])
    assert [came.sort for came in take_all(wb, of)] == ["waits"]
    (logs / "wren causeway.csv").write_bytes(data)
    assert [came.sort for came in take_all(wb, of)] == ["filed"]
    assert inbox(wb) == ()


def test_a_name_that_is_used_again_for_another_log_is_another_run(wb: Workbench, logs: Path) -> None:
    of = watch(wb, logs)
    for seed in (9, 10):
        (logs / "wren causeway.csv").write_bytes(log(seed))
        assert [came.sort for came in take_all(wb, of)] == ["filed"]
    assert len(load_study(wb, STUDY).runs) == 20


def test_one_that_changes_while_it_is_read_is_left_for_later(wb: Workbench, logs: Path) -> None:
    of = watch(wb, logs)
    (logs / "wren causeway.csv").write_bytes(log(9))
    (file,) = files_in(logs)
    with pytest.raises(StillWritten):
        take_file(wb, of, replace(file, bytes=file.bytes - 5), now=LATER)
    assert len(take_all(wb, of)) == 1


def test_a_stop_between_keeping_and_placing_loses_nothing(
    wb: Workbench, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of = watch(wb, logs)
    (logs / "wren causeway.csv").write_bytes(log(9))
    with monkeypatch.context() as broken:
        broken.setattr(watches, "add_seen", lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
        with pytest.raises(KeyboardInterrupt):
            take_all(wb, of)
    assert [came.sort for came in take_all(wb, of)] == ["filed"]
    assert len(load_study(wb, STUDY).runs) == 19
    assert inbox(wb) == ()


def test_hidden_files_and_those_named_as_halves_are_not_looked_at(logs: Path) -> None:
    for name in (".hidden", "~lock", "a.csv.part", "b.tmp", "c.csv~", ".git/d.csv", "e.csv"):
        (logs / name).parent.mkdir(exist_ok=True)
        (logs / name).write_bytes(b"1\n")
    assert [each.path for each in files_in(logs)] == ["e.csv"]


def test_links_to_folders_are_not_followed(logs: Path) -> None:
    (logs / "round").symlink_to(logs, target_is_directory=True)
    (logs / "nowhere.csv").symlink_to(logs / "not there")
    (logs / "a.csv").write_bytes(b"1\n")
    assert [each.path for each in files_in(logs)] == ["a.csv"]


def test_a_name_that_is_no_text_is_spelt_out(wb: Workbench, logs: Path) -> None:
    of = watch(wb, logs)
    Path(os.fsdecode(os.fsencode(logs) + b"/wren causeway \xff.csv")).write_bytes(log(9))
    assert [came.sort for came in take_all(wb, of)] == ["filed"]
    assert take_all(wb, of) == []


def test_one_that_holds_more_than_a_log_may_is_told_and_stays_told(wb: Workbench, logs: Path) -> None:
    of = watch(wb, logs)
    with (logs / "crowd.csv").open("wb") as file:
        file.truncate(1024 * 2**20 + 1)
    (came,) = take_all(wb, of)
    assert came.sort == "refused"
    assert "past the limit" in came.words
    assert [each.path for each in refused_in(wb, of)] == ["crowd.csv"]


@pytest.mark.parametrize(
    ("named", "words"),
    [
        ("", "no folder was named"),
        ("logs", "no whole path"),
        ("/not/there", "there is no such folder"),
        ("/etc/hostname", "this is a file, not a folder"),
    ],
)
def test_a_folder_that_cannot_be_watched_is_told(wb: Workbench, named: str, words: str) -> None:
    with pytest.raises(BadRecord, match=words):
        watch_folder(wb, named, study=STUDY, by="me", now=LATER)
    assert watched_now(wb) == ()


def test_a_folder_that_holds_far_too_much_is_told(
    wb: Workbench, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folder_files, "MOST_FILES", 3)
    for n in range(5):
        (logs / f"{n}.csv").write_bytes(b"")
    with pytest.raises(BadRecord, match="more than 3 files"):
        watch(wb, logs)


def test_a_folder_that_is_gone_is_told(logs: Path) -> None:
    logs.rmdir()
    with pytest.raises(BadRecord, match="the folder is gone"):
        files_in(logs)


def test_a_file_for_a_study_that_is_put_away_waits_until_it_is_back(wb: Workbench, logs: Path) -> None:
    of = watch(wb, logs)
    put_study_away(wb, STUDY, note="", by="me", now=NOW)
    (logs / "wren causeway 9.csv").write_bytes(log())
    (taken,) = take_all(wb, of)
    assert taken.sort == "waits"
    assert "is put away since" in taken.words
    bring_study_back(wb, STUDY, by="me", now=LATER)
    assert land_waiting(wb, STUDY, by="me", now=LATER, watch=lambda *_: None) == (1, 0)


def test_a_log_that_lay_on_its_way_while_its_run_was_skipped_waits_and_is_filed_under_no_later_run(
    wb: Workbench, logs: Path
) -> None:
    plan = planned(wb)
    of = watch(wb, logs)
    landed(wb, log(), plan=plan.id, slot=1)
    (logs / "plover 1.csv").write_bytes(log(8))
    (there,) = files_in(logs)
    skip(wb, plan.id, 2, "cable broke", by="phone", now=LATER)
    came = take_file(wb, of, there, now=LATER + timedelta(seconds=3), seen_s=5.0)
    assert came.sort == "waits"
    assert "run 2 of the plan was skipped while it was on its way" in came.words
    plan_after = plan_now(wb, STUDY)
    assert plan_after
    assert plan_after.next_on("plover") is not None
    assert [each.arrival.name for each in inbox(wb)] == ["plover 1.csv"]
