"""A trial is told to the workbench while it runs; nothing that the network does can hold it up."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator

import pytest
from validation.killed_trials import Bench

from evenhand.rig.asking import Address
from evenhand.rig.trials.asked import Asked
from evenhand.rig.trials.telling import Teller, told

TRIAL = Asked(
    setup="wren", part="processor", clock_mhz=5200.0, voltage_mv=1250.0, load="integers", planned_h=1.0,
    settings={"load-line": "level 4"}, room_c=23.5, key="k-1",
)  # fmt: skip
LONG_S = 20.0


@pytest.fixture
def bench() -> Iterator[Bench]:
    with Bench() as found:
        yield found


def beat(held_s: float, **more: object) -> dict[str, object]:
    return {"held_s": held_s, "errors": 0, "hottest_c": 71.0, **more}


def waited(event: threading.Event) -> bool:
    return event.wait(LONG_S)


def until(bench: Bench, many: int) -> None:
    """Waits until the workbench has heard so many words."""
    end = time.monotonic() + LONG_S
    while len(bench.heard) < many:
        assert time.monotonic() < end, bench.heard
        time.sleep(0.01)


def said_until(capsys: pytest.CaptureFixture[str], words: str) -> str:
    """What the terminal has said once these words are there."""
    end, said = time.monotonic() + LONG_S, ""
    while words not in said:
        assert time.monotonic() < end, said
        said += capsys.readouterr().out
        time.sleep(0.01)
    return said


def test_it_tells_what_runs_where_how_long_and_how_hot() -> None:
    assert told(TRIAL, beat(36.0, errors=2), over=False) == {
        "key": "k-1", "setup": "wren", "part": "processor", "clock_mhz": 5200.0, "voltage_mv": 1250.0,
        "load": "integers", "planned_h": 1.0, "settings": {"load-line": "level 4"}, "room_c": 23.5,
        "hours": 0.01, "errors": 2, "hottest_c": 71.0, "over": False,
    }  # fmt: skip


def test_it_is_told_again_and_again_and_that_it_has_ended_last(bench: Bench) -> None:
    with Teller(Address(url=bench.url, token="t"), TRIAL, lambda _: None, every_s=0.02) as teller:
        teller.note(beat(1.0))
        until(bench, 2)
        teller.note(beat(7.2))
    assert [each["over"] for each in bench.heard[:2]] == [False, False]
    assert (bench.heard[-1]["over"], bench.heard[-1]["hours"]) == (True, 0.002)


def test_before_it_has_begun_nothing_is_told(bench: Bench) -> None:
    with Teller(Address(url=bench.url, token="t"), TRIAL, lambda _: None, every_s=0.02):
        pass
    assert bench.heard == []


def test_who_wants_it_ended_is_heard_with_the_next_answer(bench: Bench) -> None:
    heard, who = threading.Event(), []

    def stop(words: str) -> None:
        who.append(words)
        heard.set()

    bench.stop = "the stop button of the workbench, pressed on phone"
    with Teller(Address(url=bench.url, token="t"), TRIAL, stop, every_s=0.02) as teller:
        teller.note(beat(1.0))
        assert waited(heard)
    assert who[0] == "the stop button of the workbench, pressed on phone"


def test_a_network_that_is_gone_is_said_once_and_comes_back(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    bench.refuse = 503
    with Teller(Address(url=bench.url, token="t"), TRIAL, lambda _: None, every_s=0.02) as teller:
        teller.note(beat(1.0))
        said = said_until(capsys, "The workbench is not told how this trial stands")
        assert "The trial goes on." in said
        bench.refuse = 0
        said += said_until(capsys, "The workbench answers again.")
    assert said.count("is not told") == 1


@pytest.mark.parametrize("status", [404, 401, 422])
def test_a_workbench_that_does_not_want_to_know_is_asked_no_more(
    bench: Bench, capsys: pytest.CaptureFixture[str], status: int
) -> None:
    bench.refuse = status
    with Teller(Address(url=bench.url, token="t"), TRIAL, lambda _: None, every_s=0.01) as teller:
        teller.note(beat(1.0))
        said = said_until(capsys, "The workbench does not show this trial, and has no button for it")
        time.sleep(0.05)
    assert "does not show" not in capsys.readouterr().out, said


def test_an_answer_that_nobody_understands_ends_the_telling_and_not_the_trial(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    with Teller(Address(url="nonsense", token="t"), TRIAL, lambda _: None, every_s=0.01) as teller:
        teller.note(beat(1.0))
        said_until(capsys, "is told no more how this trial stands")


def test_without_a_workbench_nobody_is_told() -> None:
    with Teller(None, TRIAL, lambda _: None) as teller:
        teller.note(beat(1.0))


def test_a_workbench_that_never_answers_holds_nothing_up(monkeypatch: pytest.MonkeyPatch) -> None:
    asked, free = threading.Event(), threading.Event()

    def silent(*_: object, **__: object) -> None:
        asked.set()
        free.wait(LONG_S)
        raise AssertionError("nobody waits for this answer")

    monkeypatch.setattr("evenhand.rig.trials.telling.ask", silent)
    monkeypatch.setattr("evenhand.rig.trials.telling.PARTING_S", 0.05)
    with Teller(Address(url="http://127.0.0.1:9", token="t"), TRIAL, lambda _: None) as teller:
        teller.note(beat(1.0))
        assert waited(asked)
        begin = time.monotonic()
        for second in range(100):
            teller.note(beat(float(second)))
        teller.over()
    assert time.monotonic() - begin < 5.0
    free.set()
