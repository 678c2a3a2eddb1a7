"""The rig program as one starts it, with a keyboard that types by itself."""

from __future__ import annotations

import os
import queue
import signal
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.rig.conftest import BATCH, NOW, Start, machine
from tests.web.looking import Served

from evenhand.desk.bench.admitting import all_devices, shut_out
from evenhand.desk.bench.hiding import hide_names
from evenhand.desk.comparison.study_notes import study_notes
from evenhand.desk.on_record import load_study
from evenhand.records.tests import Script
from evenhand.rig import main
from evenhand.rig.readings.inventory import Inventory, PartTold
from evenhand.store import shelves
from evenhand.store.inventories import inventories
from evenhand.store.plans import plans_of


def scripted(served: Served, command: str, **about: object) -> None:
    """The test's command is another one from now on."""
    script = Script(command=command, **about)  # type: ignore[arg-type]
    shelves.save(served.wb, replace(BATCH, script=script), now=NOW)


def test_it_joins_makes_a_run_and_tells_what_became_of_it(
    start: Start, served: Served, capsys: pytest.CaptureFixture[str]
) -> None:
    assert start("--yes") == main.DONE
    told = capsys.readouterr().out
    assert "Joined as left bench." in told
    assert "Next: run 1 of 16 · Photo batch · " in told
    assert "Score 41.5" in told
    assert "Landed: 41.50\N{NO-BREAK SPACE}jobs/h." in told
    assert "sensor log" not in told
    assert "Taking part cost this machine" in told
    (each,) = load_study(served.wb, "lab").runs
    assert each.run.score == 41.5


def test_while_names_are_hidden_it_tells_neither_number_nor_what_was_found(
    start: Start, served: Served, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever stands at a machine knows which it is, and judges at the bench without knowing."""
    (plan,) = plans_of(served.wb, "lab")
    hide_names(served.wb, plan.id, by="bench", now=NOW)
    assert start("--yes") == main.DONE
    told = capsys.readouterr().out
    assert "41.5" not in told
    assert "Landed. Names are hidden" in told
    assert load_study(served.wb, "lab").runs


def test_a_command_is_asked_about_once(
    start: Start, keyboard: queue.Queue[str], capsys: pytest.CaptureFixture[str]
) -> None:
    keyboard.put("yes")
    assert start() == main.DONE
    assert BATCH.script
    assert BATCH.script.command in capsys.readouterr().out
    assert start(of=machine("boot-2")) == main.DONE
    assert "wants this command run" not in capsys.readouterr().out


def test_a_command_that_is_not_allowed_is_not_run(
    start: Start, served: Served, keyboard: queue.Queue[str], capsys: pytest.CaptureFixture[str]
) -> None:
    keyboard.put("")  # Enter alone is no yes
    assert start() == main.TROUBLE
    assert "the command was not allowed" in capsys.readouterr().out
    assert load_study(served.wb, "lab").runs == ()


def test_a_go_that_hangs_is_ended_and_tried_again(
    start: Start,
    served: Served,
    keyboard: queue.Queue[str],
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    scripted(served, f"sh -c \"test -e {tmp_path}/x && echo rate 5 && exit; touch {tmp_path}/x; sleep 60\"",
             score=r"rate (\d)", timeout_s=0.5)  # fmt: skip
    keyboard.put("")
    assert start("--yes") == main.DONE
    told = capsys.readouterr().out
    assert "It does not count: it had not ended after 0.5 s" in told
    assert "Score 5" in told
    assert len(load_study(served.wb, "lab").runs) == 1


def test_where_nobody_answers_it_ends_and_says_so(
    start: Start, served: Served, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def closed(*_: object) -> str:
        raise EOFError

    monkeypatch.setattr("evenhand.rig.operator.Keys.line", closed)
    scripted(served, "false")
    assert start("--yes") == main.TROUBLE
    assert "nobody answers here" in capsys.readouterr().out


def test_the_plan_wants_a_restart_and_the_way_back_is_known(
    start: Start, served: Served, capsys: pytest.CaptureFixture[str]
) -> None:
    assert start("--yes", runs=None) == main.RESTART
    told = capsys.readouterr().out
    assert "The plan wants a fresh start before this: run" in told
    before = len(load_study(served.wb, "lab").runs)
    assert start("--yes", of=machine("boot-2")) == main.DONE
    assert len(load_study(served.wb, "lab").runs) == before + 1


def test_a_rehearsed_start_is_told_with_every_run(start: Start, served: Served) -> None:
    assert start("--yes", "--rehearsed-start", "one") == main.DONE
    (each,) = load_study(served.wb, "lab").runs
    assert each.run.stamps["restarts"] == "rehearsed: the machine was not restarted"
    assert [note.kind for note in study_notes(load_study(served.wb, "lab"))] == ["restarts-rehearsed"]


def test_what_it_is_made_of_is_told_unless_it_is_told_not_to(start: Start, served: Served) -> None:
    disc = PartTold(kind="storage", name="Slate", source="/sys/block")
    rig = replace(machine(), inventory=Inventory(parts=(disc,)))
    assert start("--yes", "--no-parts", of=rig, runs=0) == main.DONE
    assert inventories(served.wb) == ()
    assert start("--yes", of=rig, runs=0) == main.DONE
    (told,) = inventories(served.wb)
    assert [part.name for part in told.parts] == ["Slate"]


def test_without_an_address_it_says_where_to_find_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main.main(["--state", str(tmp_path)]) == main.TROUBLE
    assert "which workbench?" in capsys.readouterr().out


def test_the_next_time_the_address_is_known(start: Start, tmp_path: Path) -> None:
    assert start("--yes") == main.DONE
    arguments = ["--state", str(tmp_path / "state"), "--yes", "--runs", "0"]
    assert main.main(arguments) == main.DONE


def test_a_token_that_was_taken_back_ends_it_with_the_way_out(
    start: Start, served: Served, capsys: pytest.CaptureFixture[str]
) -> None:
    (device,) = all_devices(served.wb)
    shut_out(served.wb, device.id, now=NOW)
    assert start("--yes") == main.TROUBLE
    told = capsys.readouterr().out
    assert "does not let this rig in" in told
    assert "make a new link" in told


@pytest.fixture
def heard() -> Iterator[None]:
    """Ctrl+C is heard, as at a terminal: a process in the background may have been told to ignore it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("heard")
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_ctrl_c_ends_the_command_and_sends_nothing(
    how: signal.Signals, start: Start, served: Served, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:  # fmt: skip
    marks = tmp_path / "alive"
    scripted(served, f"sh -c 'while :; do date +%s%N > {marks}; sleep 0.1; done'")

    def press() -> None:
        while not marks.exists():
            threading.Event().wait(0.05)
        os.kill(os.getpid(), how)

    threading.Thread(target=press, daemon=True).start()
    assert start("--yes") == main.STOPPED
    before = marks.read_text()
    threading.Event().wait(0.5)
    assert marks.read_text() == before
    assert load_study(served.wb, "lab").runs == ()
    assert list((tmp_path / "state" / "spool").iterdir()) == []
    assert "Stopped." in capsys.readouterr().out
