"""A sensor log holds a line a reading, under headers that say what they are; its layout says so too."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from pathlib import Path

from evenhand.rig.readings.sensor import Sensor
from evenhand.rig.recording import Recorder, layout_of

SENSORS = (
    Sensor(role="clock", about="processor", source="here", read=lambda: 4700.25),
    Sensor(role="power", about="board", source="there", read=lambda: None),
)


def test_it_writes_a_line_a_reading(tmp_path: Path) -> None:
    now = datetime(2031, 5, 4, 10, 0, 0, 250000, tzinfo=UTC)
    recorder = Recorder(SENSORS, tmp_path / "s.csv", now=lambda: now, every_s=0.05)
    with recorder:
        time.sleep(0.22)
    head, *lines = recorder.log().decode().splitlines()
    assert head == "time of day [UTC],elapsed [s],clock of processor [MHz],power of board [W]"
    assert 3 <= len(lines) <= 6
    stamp, elapsed, clock, power = lines[0].split(",")
    assert (stamp, clock, power) == ("2031-05-04T10:00:00.250Z", "4700.25", "")
    assert float(elapsed) < 0.05


def test_its_layout_names_every_column() -> None:
    columns = layout_of(SENSORS)["columns"]
    assert [c["role"] for c in columns] == ["time of day", "elapsed time", "clock", "power"]
    assert columns[2]["header"] == SENSORS[0].header
