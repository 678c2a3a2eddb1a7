"""The real rig program on machines whose clock is an hour off, or is put back an hour during a run."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.rig.conftest import NOW
from tests.web.looking import Served

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.rig_clock import clock_doubt
from evenhand.desk.on_record import load_study
from evenhand.records.devices import Scope
from evenhand.records.runs import RunState
from evenhand.rig.bundle import NAME, bundle
from evenhand.rig.main import RESTART
from evenhand.store.arrivals import moments_filed

# Loaded by Python itself before the program: its clock begins at another moment, and may be put back later.
SHIFTED = """
import datetime, os, pathlib, time
real, begin = time.time, time.monotonic()
ahead, back_after = float(os.environ["AHEAD_S"]), float(os.environ["BACK_AFTER_S"])
def shifted():
    back = 3600.0 if time.monotonic() - begin > back_after else 0.0
    return real() + ahead - back
class Shifted(datetime.datetime):
    @classmethod
    def now(cls, tz=None):
        return cls.fromtimestamp(shifted(), tz)
    @classmethod
    def utcnow(cls):
        return cls.fromtimestamp(shifted(), datetime.UTC).replace(tzinfo=None)
time.time, datetime.datetime = shifted, Shifted
pathlib.Path(__file__).with_name("seen").write_text(str(shifted()))
"""
# The last night of summer time in a zone that has it: three o'clock becomes two, an hour comes twice.
SUMMER_ENDS = datetime(2031, 10, 26, 1, 0, tzinfo=UTC)
ZONE = "CET-1CEST,M3.5.0,M10.5.0/3"


def to_the_change() -> float:
    """How far ahead a clock is that reads two seconds before the change to winter time."""
    return (SUMMER_ENDS - datetime.now(UTC)).total_seconds() - 2.0


@pytest.mark.parametrize(
    ("ahead_s", "back_after_s"),
    [(3600.0, 1e9), (-3600.0, 1e9), (0.0, 2.0), (None, 1e9)],
    ids=["an hour ahead", "an hour behind", "put back meanwhile", "over the end of summer time"],
)
def test_its_runs_come_home_whole_with_the_workbenchs_time(
    served: Served, tmp_path: Path, ahead_s: float | None, back_after_s: float
) -> None:
    (tmp_path / "sitecustomize.py").write_text(SHIFTED)
    (tmp_path / NAME).write_bytes(bundle())
    token = admit(served.wb, name="left bench", scope=Scope.RIG, now=NOW).token
    begin = datetime.now(UTC)
    ahead = to_the_change() if ahead_s is None else ahead_s
    shifted = {"PYTHONPATH": str(tmp_path), "AHEAD_S": str(ahead), "BACK_AFTER_S": str(back_after_s)}
    program = [sys.executable, str(tmp_path / NAME), served.url, f"--token={token}"]
    ended = subprocess.run(
        [*program, "--state", str(tmp_path / "rig"), "--yes", "--runs", "2", "--rehearsed-start", "one"],
        env=os.environ | shifted | {"TZ": ZONE},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert ended.returncode in (0, RESTART), (ended.stdout, ended.stderr)
    seen = float((tmp_path / "seen").read_text())
    assert seen - begin.timestamp() == pytest.approx(ahead, abs=60)  # it did begin by that clock
    record, came = load_study(served.wb, "lab"), moments_filed(served.wb, "lab")
    assert record.runs
    for each in record.runs:
        assert each.run.started_at is not None
        assert begin < each.run.started_at < datetime.now(UTC)
        assert each.metrics.values["score"] == 41.5
        assert any(key.startswith("sensor:") for key in each.metrics.values)
        assert (each.state, clock_doubt(record, each, came)) == (RunState.LANDED, "")
