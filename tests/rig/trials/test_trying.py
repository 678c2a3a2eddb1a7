"""`try` as whoever stands at the rig starts it, against a workbench that takes trials."""

from __future__ import annotations

import queue
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from validation.killed_trials import Bench

from evenhand.rig import main
from evenhand.rig.loads.crew import cores
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import Found, Sensor
from evenhand.rig.trials import answers, running, trying, watching
from evenhand.rig.trials.cautions import CAUTIONS

SHORT = str(0.2 / 3600)
NEXT = {
    "clock_mhz": 5300, "voltage_mv": 1275, "hours": 0.0001, "purpose": "walk", "words": "One step down.",
    "caution": "Stay with it.", "load": "integers", "settings": {"load-line": "level 4"},
    "limits": [
        {"quantity": "voltage", "most": 1400, "source": "data sheet, page 9"},
        {"quantity": "temperature", "most": 95, "source": "data sheet, page 4"},
    ],
}  # fmt: skip
TYPED = ["--setup", "wren", "--clock", "5200", "--voltage", "1250", "--hours", SHORT]
Try = Callable[..., int]


@pytest.fixture
def bench() -> Iterator[Bench]:
    with Bench() as found:
        yield found


@pytest.fixture
def keyboard(monkeypatch: pytest.MonkeyPatch) -> queue.Queue[str]:
    lines: queue.Queue[str] = queue.Queue()
    monkeypatch.setattr("evenhand.rig.operator.Keys.line", lambda *_: lines.get(timeout=10))
    return lines


@pytest.fixture
def trial(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, keyboard: queue.Queue[str]) -> Try:
    """Starts `try`, on a machine with a temperature and a clock; its exit code."""
    heat = Sensor(role="temperature", about="package", source="here", read=lambda: 71.0)
    clock = Sensor(role="clock", about="processor", source="here", read=lambda: 5290.0)
    monkeypatch.setattr(running, "EVERY_S", 0.05)
    monkeypatch.setattr(trying, "cores", lambda: cores()[:1])

    def started(*words: str, boot: str = "first", sensors: tuple[Sensor, ...] = (heat, clock)) -> int:
        machine = Machine(found=Found(sensors=sensors), stamps={}, boot=boot)
        monkeypatch.setattr(main, "look", lambda: machine)
        return main.main(["try", "--state", str(tmp_path / "state"), "--memory-share", "0.001", *words])

    return started


def test_it_tries_what_the_workbench_names_and_sends_the_record(
    trial: Try, bench: Bench, keyboard: queue.Queue[str], capsys: pytest.CaptureFixture[str]
) -> None:
    bench.following = NEXT
    keyboard.put("yes")
    asked = ["--setup", "wren", "--room", "22.5", "--note", "first"]
    assert trial(bench.url, "--token", "-t", *asked) == 0
    told = capsys.readouterr().out
    assert "To be tried: processor of wren at 5300 MHz and 1275 mV, integers for 0.0001 h." in told
    assert "One step down." in told
    assert "Limit: voltage at most 1400 mV (data sheet, page 9)." in told
    assert all(each in told for each in CAUTIONS)
    assert "Passed after" in told
    assert "The workbench has it as trial 1." in told
    (record,) = bench.trials.values()
    assert set(record) == {
        "key", "setup", "part", "clock_mhz", "voltage_mv", "load", "hours", "outcome", "planned_h",
        "found_after_h", "errors", "corrected", "settings", "room_c", "hottest_c", "watts", "watts_at",
        "at", "note",
    }  # fmt: skip
    assert (record["outcome"], record["clock_mhz"], record["voltage_mv"]) == ("passed", 5300, 1275)
    assert (record["settings"], record["room_c"]) == ({"load-line": "level 4"}, 22.5)
    assert (record["hottest_c"], record["errors"], record["found_after_h"]) == (71.0, 0, None)
    assert record["note"].startswith("first. ")


@pytest.mark.parametrize(
    "own", [["--clock", "5300", "--voltage", "1250", "--hours", SHORT], ["--hours", "0.0002"]]
)
def test_of_a_trial_of_ones_own_no_second_setting_is_told(
    trial: Try, bench: Bench, capsys: pytest.CaptureFixture[str], own: list[str]
) -> None:
    bench.following = {**NEXT, "words": "Set 5,300 MHz and 1,275 mV in the firmware and run it for 1 s."}
    assert trial(bench.url, "--setup", "wren", "--attended", *own) == 0
    told = capsys.readouterr().out
    assert "Set 5,300" not in told
    assert "It is your own trial" in told
    assert "Stay with it." in told


def test_a_point_that_ran_here_is_not_asked_about_again(
    trial: Try, keyboard: queue.Queue[str], capsys: pytest.CaptureFixture[str]
) -> None:
    keyboard.put("yes")
    assert trial(*TYPED, "--most", "90") == 0
    assert trial(*TYPED, "--most", "90") == 0
    assert capsys.readouterr().out.count("has not run here yet") == 1


def test_where_nobody_stays_nothing_runs(
    trial: Try, keyboard: queue.Queue[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    keyboard.put("no")
    assert trial(*TYPED, "--most", "90") == main.TROUBLE
    assert "nobody stays with the machine" in capsys.readouterr().out
    assert not list((tmp_path / "state" / "trials").glob("*.trial"))


def test_without_a_temperature_somebody_has_to_stay_each_time(
    trial: Try, keyboard: queue.Queue[str], capsys: pytest.CaptureFixture[str]
) -> None:
    for answer in ("yes", "yes"):
        keyboard.put(answer)
        time.sleep(0.01)
    assert trial(*TYPED, sensors=()) == 0
    keyboard.put("no")
    assert trial(*TYPED, sensors=()) == main.TROUBLE
    assert "no temperature guards this machine" in capsys.readouterr().out


def test_a_point_past_the_makers_limit_is_refused_with_its_source(
    trial: Try, bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.following = NEXT
    too_much = ["--setup", "wren", "--clock", "5300", "--voltage", "1425", "--hours", "1", "--attended"]
    assert trial(bench.url, *too_much) == main.TROUBLE
    told = capsys.readouterr().out
    assert not bench.trials
    assert "1425 is past the limit: voltage at most 1400 mV (data sheet, page 9)" in told


def test_a_makers_temperature_ends_a_trial(
    trial: Try, bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.following = {**NEXT, "limits": [{"quantity": "temperature", "most": 70, "source": "data sheet"}]}
    assert trial(bench.url, "--setup", "wren", "--attended") == 1
    assert "Stopped after 0 s: package reached 71 °C, and the limit is 70 °C" in capsys.readouterr().out
    (record,) = bench.trials.values()
    assert record["outcome"] == "stopped"


def test_why_nothing_is_to_be_tried_is_told(
    trial: Try, bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.following = {"why": "no limit of the maker is on record"}
    assert trial(bench.url, "--setup", "wren", "--attended") == main.TROUBLE
    assert "no limit of the maker is on record" in capsys.readouterr().out


def test_limits_hold_for_a_typed_point_where_nothing_comes_next(
    trial: Try, bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    limit = {"quantity": "clock", "most": 5100, "source": "data sheet, page 2"}
    bench.following = {"why": "24 h stand there", "limits": [limit]}
    assert trial(bench.url, *TYPED, "--attended") == main.TROUBLE
    assert "past the limit: clock at most 5100 MHz (data sheet, page 2)" in capsys.readouterr().out


def test_a_workbench_of_another_version_is_told(
    trial: Try, bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.following = {"clock_mhz": 5300, "limits": [{"quantity": "clock"}]}
    assert trial(bench.url, "--setup", "wren", "--attended") == main.TROUBLE
    assert "named no point that can be tried" in capsys.readouterr().out


def test_while_the_workbench_is_away_the_record_waits_and_goes_along_later(
    trial: Try, bench: Bench, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    away = "http://127.0.0.1:9"
    assert trial(away, *TYPED, "--attended") == 0
    assert "wait on this disk, and go along at the next start: 1." in capsys.readouterr().out
    assert trial(bench.url, "--setup", "wren") == main.TROUBLE  # nothing more is to be tried
    assert len(bench.trials) == 1
    assert not list((tmp_path / "state" / "spool").glob("[0-9]*"))


def test_a_record_that_is_not_wanted_is_kept(
    trial: Try, bench: Bench, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.refuse = 422
    assert trial(bench.url, *TYPED, "--attended") == 0
    assert "no such setup; name another. It lies in" in capsys.readouterr().out
    assert len(list((tmp_path / "state" / "not-taken").iterdir())) == 1


def test_a_rig_that_is_shut_out_keeps_its_record(
    trial: Try, bench: Bench, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.refuse = 401
    assert trial(bench.url, *TYPED, "--attended") == 0
    assert "does not let this rig in" in capsys.readouterr().out
    bench.refuse = 0
    trial("--setup", "wren")
    assert len(bench.trials) == 1


def test_a_workbench_in_trouble_is_asked_again(trial: Try, bench: Bench, tmp_path: Path) -> None:
    bench.refuse = 503
    assert trial(bench.url, *TYPED, "--attended") == 0
    bench.refuse = 0
    trial("--setup", "wren")
    assert len(bench.trials) == 1


def test_a_command_may_be_the_load(trial: Try, bench: Bench) -> None:
    assert trial(bench.url, *TYPED, "--attended", "--load", "tide", "--command", "false") == 1
    (record,) = bench.trials.values()
    assert (record["load"], record["outcome"], record["errors"]) == ("tide", "error", 1)


@pytest.mark.parametrize(("answer", "outcome"), [("", "passed"), ("w", "wrong result"), ("c", "crash")])
def test_what_a_person_runs_is_recorded_as_they_say(
    trial: Try, bench: Bench, keyboard: queue.Queue[str], answer: str, outcome: str
) -> None:
    keyboard.put(answer)
    trial(bench.url, *TYPED, "--attended", "--by-hand", "--load", "an evening of play")
    (record,) = bench.trials.values()
    assert (record["load"], record["outcome"]) == ("an evening of play", outcome)


def test_a_load_by_hand_that_nobody_speaks_of_is_stopped(
    trial: Try, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def nobody(*_: object) -> str:
        raise EOFError

    monkeypatch.setattr("evenhand.rig.operator.Keys.line", nobody)
    assert trial(bench.url, *TYPED, "--attended", "--by-hand", "--load", "an evening of play") == 1
    (record,) = bench.trials.values()
    assert record["outcome"] == "stopped"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--clock", "5200"], "which setup?"),
        (["--setup", "wren"], "which point?"),
        (["--setup", "wren", "--clock", "5200", "--voltage", "1250"], "for how long?"),
        ([*TYPED, "--hours", "-1"], "a time of -1 h is none"),
        ([*TYPED, "--clock", "nan"], "a clock of nan MHz is none"),
        ([*TYPED, "--room", "225"], "a room of 225 °C is none"),
        ([*TYPED, "--note", "x" * 1001], "is longer than 1000 signs"),
        ([*TYPED, "--note", "held\x1b[2K"], "'held\\x1b[2K' has a sign in it that nobody sees"),
        ([*TYPED, "--load", "tide"], "'tide' is none of integers, patterns, products, transforms"),
        ([*TYPED, "--setting", "level 4"], "says not what is set to what"),
    ],
)
def test_what_is_missing_or_wrong_is_told(
    trial: Try, capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    assert trial(*words, "--attended") == main.TROUBLE
    assert told in capsys.readouterr().out


def test_answers_at_stock_need_somebody_to_say_that_it_is_stock(
    trial: Try,
    keyboard: queue.Queue[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(answers, "TIMES", 1)
    keyboard.put("no")
    assert trial("--stock", "--load", "patterns") == main.TROUBLE
    assert "answers hold only if they come from stock" in capsys.readouterr().out
    assert not (tmp_path / "state" / "answers.json").exists()
    assert trial("--stock", "--load", "transforms", "--attended") == 0
    assert "transforms: 4 answers, the same on" in capsys.readouterr().out
    assert trial(*TYPED, "--attended", "--load", "transforms") == 0


def test_a_bench_day_finds_a_trial_that_was_cut_off(
    trial: Try, bench: Bench, keyboard: queue.Queue[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(running.Trial, "_over", killed)
        assert trial(bench.url, *TYPED, "--attended") == main.STOPPED
    keyboard.put("no")
    state = ["--state", str(tmp_path / "state")]
    with monkeypatch.context() as patch:
        patch.setattr("evenhand.rig.session.hello", killed)
        assert main.main(["http://127.0.0.1:9", *state]) == main.STOPPED
    trial(bench.url, "--setup", "wren")
    (record,) = bench.trials.values()
    assert record["outcome"] == "crash"


def test_who_answers_that_they_stay_is_believed_to_the_end(
    trial: Try, keyboard: queue.Queue[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watching, "GONE_S", 0.2)
    for answer in ("yes", "yes"):
        keyboard.put(answer)
    assert trial(*TYPED, "--most", "90", sensors=()) == 0, "without a temperature it would end after 0.2 s"


def test_it_is_told_to_the_workbench_while_it_runs_and_ended_by_its_button(
    trial: Try, bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.stop = "the stop button of the workbench, pressed on phone"
    assert trial(bench.url, *TYPED[:-1], "1", "--attended") == 1
    (record,) = bench.trials.values()
    assert record["outcome"] == "stopped"
    assert record["note"] == "ended before its time by the stop button of the workbench, pressed on phone"
    assert [each["over"] for each in bench.heard] == [False, True]
    assert {each["key"] for each in bench.heard} == {record["key"]}
    assert "the button on the workbench's page Tuning" in capsys.readouterr().out
