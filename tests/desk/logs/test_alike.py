"""One word on the columns of a header lands every file that had waited for it, and no other."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import LATER

from evenhand.desk.bench.confirming import confirm_said
from evenhand.desk.bench.inbox import inbox, look_inside
from evenhand.desk.bench.inbox_shares import waiting_by_study
from evenhand.desk.logs.alike import land_alike, waiting_for_columns
from evenhand.desk.logs.dropping import drop_file
from evenhand.desk.on_record import load_study
from evenhand.records.layouts import Column, LogKind, Role
from evenhand.store.workbench import Workbench, open_workbench

OTHER = "row,took [ms]"
COLUMNS = (Column(header="took [ms]", role=Role.FRAME_TIME, unit="ms"),)


@pytest.fixture
def wb(quay_file: Path, tmp_path: Path) -> Iterator[Workbench]:
    shutil.copy(quay_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


def test_a_day_of_logs_is_asked_about_once(wb: Workbench) -> None:
    for n in range(4):
        drop_file(wb, log(20 + n, header=OTHER), name=f"wren causeway {n}.csv", by="me", now=LATER)
    drop_file(wb, log(30), name="capture.csv", by="me", now=LATER)  # its columns are known: its run is not
    assert len(waiting_for_columns(wb)) == 4
    assert waiting_by_study(wb) == {STUDY: 4, None: 1}
    asked = look_inside(wb, waiting_for_columns(wb)[0]).question
    assert asked is not None
    confirm_said(wb, asked, LogKind.FRAMES, COLUMNS, now=LATER)
    seen: list[str] = []
    assert land_alike(wb, by="me", now=LATER, watch=lambda done, total, name: seen.append(name)) == 4
    assert seen == [f"wren causeway {n}.csv" for n in range(4)]
    assert len(load_study(wb, STUDY).runs) == 22
    assert [each.arrival.name for each in inbox(wb)] == ["capture.csv"]
