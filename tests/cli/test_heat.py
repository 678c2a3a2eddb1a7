"""Temperature logs on the command line: noted, told, asked about another room and cooler, taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.cli.test_tuning import LIMIT, STOCK
from tests.desk.small_folder import Folder
from tests.desk.tuning.warm_log import LOG, NAMED, rows, written

HEAT = ("--limit", "temperature=95", "--source", "data sheet, page 14", "--read-on", "2026-05-04")


@pytest.fixture
def log(tmp_path: Path) -> Path:
    place = tmp_path / "warm.csv"
    place.write_bytes(LOG)
    return place


@pytest.fixture
def tuned(stocked: Command, log: Path) -> Command:
    """A tuned part, and columns that somebody has confirmed."""
    stocked(*STOCK, *LIMIT)
    stocked(*STOCK[:3], *HEAT)
    assert stocked("columns", str(log), "--confirm").code == 0
    return stocked


def test_before_any_log_it_says_what_one_has_to_hold(stocked: Command) -> None:
    stocked(*STOCK)
    said = stocked("heat", "wren")
    assert said.code == 0
    assert "No temperature log of this part is on record." in said.out
    assert "halve the load" in said.out


def test_a_log_whose_columns_nobody_confirmed_is_refused(stocked: Command, log: Path) -> None:
    stocked(*STOCK)
    said = stocked("heat", "wren", "--log", str(log))
    assert said.code == 2
    assert "nobody has confirmed what its columns are" in said.err
    assert stocked("heat", "wren", "--json").json["logs"] == []


def test_a_log_is_noted_and_told_with_its_stages(tuned: Command, log: Path) -> None:
    said = tuned("heat", "wren", "--log", str(log), "--clock", "4400", "--set", "power limit=200 W")
    assert said.code == 0, said.err
    assert "Temperature log 1 is on record." in said.out
    assert "In a room of 30\u00a0°C at 200\u00a0W it would settle at 104\u00a0°C" in said.out
    assert "quicker" in said.out
    assert "slower" in said.out
    assert "a fan that speeds up cools better" in said.out
    assert "Doubt: No power was held" in said.out
    assert "was on record already" in tuned("heat", "wren", "--log", str(log), "--clock", "4400",
                                            "--set", "power limit=200 W").out  # fmt: skip


def test_another_room_power_and_cooler_are_asked_about(tuned: Command, log: Path) -> None:
    assert "At rest after load it read " in tuned("heat", "wren", "--log", str(log)).out
    told = tuned("heat", "wren", "--room", "22", "--watts", "150", "--cooler", "0.15±0.02", "--json").json
    found = told["heat"]["outlook"]
    assert (found["room_c"], found["watts"]) == (22.0, 150.0)
    assert found["steady_c"]["value"] == pytest.approx(22 + 150 * 0.37, abs=1.0)
    assert found["cooler"]["c_per_w"] == pytest.approx(0.27, abs=0.01)
    assert told["logs"][0]["columns"]["room"] == NAMED["room"]


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (("--cooler", "many"), "R±SD"),
        (("--cooler", "0"), "R±SD"),
        (("--room", "400"), "--room"),
        (("--watts", "-5"), "--watts"),
        (("--of", "9"), "no temperature log 9"),
    ],
)
def test_what_cannot_be_asked_is_refused(tuned: Command, given: tuple[str, str], told: str) -> None:
    said = tuned("heat", "wren", *given)
    assert said.code == 2
    assert told in said.err


def test_columns_are_named_where_they_are_not_to_be_guessed(tuned: Command, log: Path) -> None:
    said = tuned("heat", "wren", "--log", str(log), "--column", "room=", "--log-room", "25")
    assert said.code == 0, said.err
    wrong = tuned("heat", "wren", "--log", str(log), "--column", "warmth=x")
    assert wrong.code == 2
    assert "none of temperature, watts, room, fan, clock" in wrong.err
    assert "is no column of this log" in tuned("heat", "wren", "--log", str(log), "--column", "watts=x").err


def test_a_log_that_tells_nothing_says_why_and_stays_on_record(tuned: Command, tmp_path: Path) -> None:
    place = tmp_path / "short.csv"
    place.write_bytes(written(rows()[:10]))
    said = tuned("heat", "wren", "--log", str(place))
    assert said.code == 0
    assert "too few to see how heat comes and goes" in said.out
    assert tuned("heat", "wren", "--json").json["heat"]["trouble"]


def test_a_log_is_taken_back_with_a_reason_and_stays_on_the_list(tuned: Command, log: Path) -> None:
    tuned("heat", "wren", "--log", str(log))
    assert tuned("heat", "wren", "--take-back", "1").code == 2
    said = tuned("heat", "wren", "--take-back", "1", "--why", "the probe fell off")
    assert "taken back: the probe fell off" in said.out
    assert tuned("heat", "wren", "--json").json["heat"] is None


def test_a_file_that_is_not_there_is_told(tuned: Command, tmp_path: Path) -> None:
    said = tuned("heat", "wren", "--log", str(tmp_path / "gone.csv"))
    assert said.code == 2
    assert "there is no such file" in said.err


def test_the_sensor_log_of_a_run_comes_with_the_room_that_was_noted_there(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    columns = {
        "elapsed_time": {"column": NAMED["time"], "unit": "s"},
        "temperature": {"column": NAMED["temperature"], "about": "processor"},
        "power": {"column": NAMED["watts"], "about": "processor"},
    }
    folder.document["layouts"].append({"name": "warm", "kind": "sensors", "columns": columns})
    run = next(run for run in folder.runs if run["setup"] == "wren")
    run |= {"sensors": "warm.csv", "sensor_layout": "warm", "ambient_c": 23.5}
    folder.files["warm.csv"] = LOG
    evenhand("import", folder.write(tmp_path / "study"))
    evenhand(*STOCK)
    told = evenhand("heat", "wren", "--run", run["label"], "--json").json
    assert told["logs"][0]["room_c"] == 23.5
    assert (
        evenhand("heat", "wren", "--run", run["label"], "--log-room", "21", "--json").json["again"] is False
    )
    assert evenhand("heat", "wren", "--run", "nowhere").code == 2
