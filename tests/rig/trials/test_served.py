"""`try` against a really served workbench: what comes next is told, what was tried is on record once."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.rig.conftest import NOW
from tests.web.looking import Served

from evenhand.desk.bench.admitting import admit
from evenhand.desk.tuning.noting import note_limit, note_tuned
from evenhand.records.devices import Scope
from evenhand.records.trials import Outcome
from evenhand.rig import main
from evenhand.rig.loads.crew import cores
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import Found, Sensor
from evenhand.rig.trials import running, trying
from evenhand.store import trials as trial_store

PART = {
    "setup": "left-stock", "part": "processor", "stock_clock_mhz": 4400.0, "stock_voltage_mv": 1175.0,
    "clock_step_mhz": 50.0, "voltage_step_mv": 5.0,
}  # fmt: skip
SHORT = str(0.2 / 3600)


@pytest.fixture
def token(served: Served, monkeypatch: pytest.MonkeyPatch) -> str:
    heat = Sensor(role="temperature", about="package", source="here", read=lambda: 71.0)
    machine = Machine(found=Found(sensors=(heat,)), stamps={}, boot="first")
    monkeypatch.setattr(main, "look", lambda: machine)
    monkeypatch.setattr(running, "EVERY_S", 0.05)
    monkeypatch.setattr(trying, "cores", lambda: cores()[:1])
    note_tuned(served.wb, PART, now=NOW)
    limit = {"quantity": "voltage", "most": 1325.0, "source": "data sheet, page 14"}
    note_limit(served.wb, "left-stock", "processor", limit, now=NOW, today=NOW.date())
    return admit(served.wb, name="left bench", scope=Scope.RIG, now=NOW).token


def trial(served: Served, token: str, state: Path, voltage: str, *more: str) -> int:
    typed = ["--setup", "left-stock", "--clock", "4400", "--voltage", voltage, "--hours", SHORT]
    told = ["--load", "integers", "--room", "23.5", "--attended", "--memory-share", "0.001"]
    return main.main(["try", served.url, "--token", token, "--state", str(state), *typed, *told, *more])


def test_what_a_rig_tried_is_on_record_as_its_own(
    served: Served, token: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert trial(served, token, tmp_path / "state", "1175", "--stock") == 0
    assert trial_store.trials_of(served.wb, ["left-stock"]) == (), (
        "it works out the answers and tries nothing"
    )
    assert trial(served, token, tmp_path / "state", "1175") == 0
    (kept,) = trial_store.trials_of(served.wb, ["left-stock"])
    assert (kept.outcome, kept.voltage_mv, kept.load, kept.room_c) == (
        Outcome.PASSED,
        1175.0,
        "integers",
        23.5,
    )
    assert (kept.by, kept.hottest_c) == ("left bench", 71.0)
    assert "data sheet, page 14" in capsys.readouterr().out


def test_on_this_computer_no_token_is_needed(
    served: Served, token: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert token
    assert trial(served, "", tmp_path / "state", "1175") == 0
    told = capsys.readouterr().out
    assert "data sheet, page 14" in told
    assert "does not let this rig in" not in told
    (kept,) = trial_store.trials_of(served.wb, ["left-stock"])
    assert kept.voltage_mv == 1175.0
    assert trial(served, "made up", tmp_path / "other", "1170") == 0
    assert "does not let this rig in" in capsys.readouterr().out


def test_past_the_limit_nothing_runs_and_nothing_is_on_record(
    served: Served, token: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert trial(served, token, tmp_path / "state", "1330") != 0
    assert trial_store.trials_of(served.wb, ["left-stock"]) == ()
    assert "data sheet, page 14" in "".join(capsys.readouterr())
