"""Temperatures are kept with a trial where that is asked for: a row a second, with rest before and after."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.rig.trials.test_running import ASKED, Clock, Steady
from tests.rig.trials.test_served import token, trial
from tests.web.looking import Served

from evenhand.desk.tuning.heat import heat_logs, heat_now
from evenhand.desk.tuning.noting import tuned_part
from evenhand.records.trials import Meter
from evenhand.rig import main
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import Found, Sensor
from evenhand.rig.spool import Spool
from evenhand.rig.trials import recovery, warmth
from evenhand.rig.trials.asked import PASSED, STOPPED
from evenhand.rig.trials.journal import journals, read, whole
from evenhand.rig.trials.running import Trial
from evenhand.rig.trials.stopping import Stop
from evenhand.rig.trials.warmth import MOST_COLUMNS, Warmth, columns_named, log_of
from evenhand.rig.trials.watching import Bounds, Watch

__all__ = ["token"]


class Wire:
    """Sensors of a simulated machine; a counter tells what was drawn since it was last read."""

    def __init__(self) -> None:
        self.read: dict[str, int] = {}

    def sensor(self, role: str, about: str, value: float | None) -> Sensor:
        def now() -> float | None:
            self.read[f"{role} {about}"] = self.read.get(f"{role} {about}", 0) + 1
            return value

        return Sensor(role=role, about=about, source="here", read=now)

    def all(self) -> tuple[Sensor, ...]:
        return (
            self.sensor("temperature", "package", 71.0), self.sensor("temperature", "board", 38.0),
            self.sensor("power", "package", 92.5), self.sensor("clock", "processor", 5200.0),
            self.sensor("fan", "board 2", 1200.0), self.sensor("load", "processor", 99.0),
        )  # fmt: skip


class Waits(Stop):
    """A stop whose waiting passes time of the test's own clock."""

    def __init__(self, folder: Path, clock: Clock) -> None:
        super().__init__(folder)
        self.clock, self.ends_s = clock, float("inf")

    def wait(self, seconds: float) -> None:
        self.clock.s += max(seconds, 0.0)
        if self.clock.s - 100.0 >= self.ends_s:
            self.ask("the test")


def run(tmp_path: Path, *, rest_s: float = 120.0, ends_s: float = float("inf")) -> tuple[Path, Wire, str]:
    """A trial of 72 s that keeps its temperatures; its journal, its sensors and how it ended."""
    clock, wire = Clock(), Wire()
    kept = Warmth(wire.all(), part="processor")
    watch = Watch(kept.shared(wire.all()), Bounds(most_c=95.0), part="processor")
    stop = Waits(tmp_path, clock)
    stop.ends_s = ends_s
    made = Trial(ASKED, Steady(clock), watch, folder=tmp_path / "trials", stop=stop, clocks=clock.time())
    made.warmth, made.rest_s = kept, rest_s
    end = made.run()
    (path,) = journals(tmp_path / "trials")
    return path, wire, end.outcome


def test_a_row_a_second_is_kept_with_rest_before_and_after_the_load(tmp_path: Path) -> None:
    path, _, outcome = run(tmp_path)
    assert outcome == PASSED
    log = log_of(path)
    assert log is not None
    header, *rows = log[0].decode().splitlines()
    assert header == (
        "elapsed [s],temperature of package [°C],temperature of board [°C],power of package [W],"
        "clock of processor [MHz],fan of board 2 [rpm]"
    )
    assert 120 + 72 + 120 <= len(rows) <= 120 + 72 + 123
    assert rows[0] == "0,71,38,92.5,5200,1200"
    assert float(rows[-1].split(",")[0]) == pytest.approx(120 + 72 + 120, abs=3)


def test_each_sensor_is_read_once_a_second_also_where_it_is_watched(tmp_path: Path) -> None:
    path, wire, _ = run(tmp_path, rest_s=60.0)
    rows = sum("warm" in whole(line) for line in path.read_bytes().split(b"\n"))
    assert wire.read["power package"] == rows
    assert wire.read["temperature package"] == rows


def test_the_trial_itself_tells_the_same_as_without(tmp_path: Path) -> None:
    told = read(run(tmp_path)[0])
    assert told.end["outcome"] == PASSED
    assert told.end["held_s"] == pytest.approx(72, abs=1)
    assert (told.end["hottest_c"], told.end["watts"]) == (71.0, 92.5)
    assert told.beat["held_s"] <= 72, "rest is no time that it held"


def test_whoever_ends_it_while_it_rests_ends_it(tmp_path: Path) -> None:
    path, _, outcome = run(tmp_path, ends_s=20.0)
    assert outcome == STOPPED
    assert read(path).end["held_s"] == pytest.approx(0, abs=1)
    assert log_of(path) is None, "so few rows tell nothing"


def test_a_journal_that_was_cut_off_keeps_the_log_as_far_as_it_goes(tmp_path: Path) -> None:
    path, _, _ = run(tmp_path)
    lines = path.read_bytes().split(b"\n")
    path.write_bytes(b"\n".join(lines[: len(lines) // 2]) + b'\n{"warm": [5000.0, 7')
    log = log_of(path)
    assert log is not None
    assert b"5000" not in log[0]


def test_what_the_part_s_columns_are_is_told_where_one_alone_can_be() -> None:
    columns = [
        {"header": name, "role": role, "unit": "", "about": ""}
        for name, role in (
            ("t", "elapsed time"),
            ("a", "temperature"),
            ("b", "temperature"),
            ("w", "power"),
            ("x", "power"),
            ("c", "clock"),
        )
    ]
    rows = [[0.0, 40.0, 71.0, 9.0, 9.0, 5200.0]] * 3
    assert columns_named(columns, rows) == {
        "temperature": "b", "room": "", "watts": "", "fan": "", "clock": "c",
    }  # fmt: skip
    assert columns_named(columns, [[0.0, None, None, 9.0, 9.0, 1.0]]) == {}


def test_no_more_columns_are_kept_than_a_trial_needs() -> None:
    many = [Wire().sensor("temperature", f"core {n}", 50.0) for n in range(100)]
    assert len(Warmth(many, part="processor").kept) == MOST_COLUMNS


def test_it_goes_home_behind_the_record_of_its_trial_and_once(tmp_path: Path) -> None:
    path, _, _ = run(tmp_path)
    spool, whole_journal = Spool(tmp_path / "spool"), path.read_bytes()
    recovery.put_on_its_way(path, spool)
    path.write_bytes(whole_journal)
    recovery.put_on_its_way(path, spool)
    first, second = spool.parcels()
    assert (first.facts["kind"], second.facts["kind"]) == ("trial", warmth.KIND)
    assert json.loads(first.data.read_bytes())["key"] == second.facts["trial"]
    assert second.facts["told"]["columns"]["temperature"] == "temperature of package [°C]"


def test_without_it_nothing_is_kept(tmp_path: Path) -> None:
    clock = Clock()
    watch = Watch(Wire().all(), Bounds(), part="processor")
    stop = Waits(tmp_path, clock)
    Trial(ASKED, Steady(clock), watch, folder=tmp_path / "trials", stop=stop, clocks=clock.time()).run()
    (path,) = journals(tmp_path / "trials")
    assert log_of(path) is None


def test_on_a_served_workbench_it_is_a_log_of_the_trial_s_part(
    served: Served, token: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    machine = Machine(found=Found(sensors=Wire().all()), stamps={}, boot="first")
    monkeypatch.setattr(main, "look", lambda: machine)
    asked = ("--keep-heat", "0.06", "--hours", str(3 / 3600))
    assert trial(served, token, tmp_path / "state", "1175", *asked) == 0
    (log,) = heat_logs(served.wb, "left-stock", "processor")
    assert (log.by, log.room_c, log.clock_mhz, log.voltage_mv) == ("left bench", 23.5, 4400.0, 1175.0)
    assert log.watts_at is Meter.PART
    assert log.note.startswith("during trial 1")
    now = heat_now(served.wb, tuned_part(served.wb, "left-stock", "processor"), log)
    assert now.read is not None
    assert now.read.clock is not None


def test_where_no_temperature_can_be_read_it_is_refused(
    served: Served, token: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    machine = Machine(found=Found(sensors=()), stamps={}, boot="first")
    monkeypatch.setattr(main, "look", lambda: machine)
    assert trial(served, token, tmp_path / "state", "1175", "--keep-heat", "1") == main.TROUBLE
    assert "no temperature can be read here" in "".join(capsys.readouterr())
