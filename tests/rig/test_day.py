"""Runs that a person drives: their logs are waited for, sent once, and are judged as they land."""

from __future__ import annotations

import queue
import random
import threading
import time
import urllib.request
from pathlib import Path
from typing import Any

import pytest
from tests.rig.conftest import NOW, Start, joined, send_home
from tests.web.looking import Served

from evenhand.desk.logs.layouts import remember
from evenhand.desk.on_record import load_study
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.tests import Direction, Measures, Test
from evenhand.rig import main, session
from evenhand.rig.day import NO_LOG, Day, by_hand, gather, upcoming, wait_for_another
from evenhand.rig.watching import Folder
from evenhand.store import shelves
from evenhand.traces.fingerprints import fingerprint


def frames(ms: float, *, seed: int = 1) -> str:
    """Six seconds and more of frames that take about so long, as uneven as frames are."""
    draw = random.Random(seed)
    times = (ms * draw.lognormvariate(0, 0.12) for _ in range(900))
    return "frame time [ms]\n" + "".join(f"{each:.3f}\n" for each in times)


def played_by_hand(served: Served, *, known: bool = True) -> None:
    """The test is one that a person drives, and its logs' columns are `known`."""
    by_hand = Test(
        key="batch", name="Harbour walk", measures=Measures.FRAMES, metric="average_fps", unit="fps",
        direction=Direction.HIGHER, minutes=0.1,
    )  # fmt: skip
    shelves.save(served.wb, by_hand, now=NOW)
    frame_time = Column(header="frame time [ms]", role=Role.FRAME_TIME, unit="ms")
    header = fingerprint((frame_time.header,))
    layout = Layout(fingerprint=header, kind=LogKind.FRAMES, columns=(frame_time,))
    if known:
        remember(served.wb, layout, now=NOW)


def test_a_run_by_hand_waits_for_its_log_and_is_not_made_twice(
    start: Start,
    served: Served,
    keyboard: queue.Queue[str],
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    played_by_hand(served)
    logs = tmp_path / "logs"
    logs.mkdir()
    (logs / "old.csv").write_text("before we came\n")

    def play() -> None:
        keyboard.put("")
        while not (tmp_path / "state" / "under-way.json").exists():  # till then it would be an older run's
            time.sleep(0.05)
        threading.Event().wait(1.2)
        keyboard.put("")
        threading.Event().wait(1.0)
        (logs / "walk.csv").write_text(frames(16.6))

    player = threading.Thread(target=play)
    player.start()
    codes: list[int] = []
    runner = threading.Thread(target=lambda: codes.append(start("--folder", str(logs))))
    runner.start()
    runner.join(40)
    player.join()
    told = capsys.readouterr().out
    assert codes == [main.DONE], told
    assert "walk.csv has appeared" in told
    assert "old.csv" not in told
    assert "The workbench has no log of it yet" in told
    (each,) = load_study(served.wb, "lab").runs
    assert each.run.sensors is not None
    assert told.count("Next: ") == 1
    assert not (tmp_path / "state" / "under-way.json").exists()


def test_a_log_that_differs_from_its_siblings_is_doubted_as_it_lands(served: Served, tmp_path: Path) -> None:
    played_by_hand(served)
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    assert wanted
    states = []
    for number, ms in enumerate((10.0, 10.02, 10.04, 13.5)):
        log = tmp_path / f"walk-{number}.csv"
        log.write_text(frames(ms, seed=number))
        facts = {key: wanted[key] for key in ("study", "test", "setup", "boot")}
        session.send_log(rig, log, {**facts, "order": number + 1})
        told = send_home(rig)[-1].told
        states.append(told["state"])
    assert states == ["landed", "landed", "landed", "in doubt"]


class Still:
    """Sends nothing by itself, and nobody types."""

    def home(self) -> None: ...

    def wake(self) -> None: ...

    def pressed(self) -> bool:
        return False


def test_a_run_whose_plan_goes_on_without_it_keeps_its_log(
    served: Served, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    played_by_hand(served)
    rig = joined(served, tmp_path / "rig")
    (logs := tmp_path / "logs").mkdir()
    (logs / "old.csv").write_text("lay there unfinished before it began\n")
    at = [0.0]
    folder = Folder(logs, known={}, clock=lambda: at[0])
    on_duty: Any = Still()
    day = Day(rig=rig, sender=on_duty, operator=on_duty, folder=folder)
    wanted, before = session.next_run(rig)["run"], folder.present()
    facts = {key: wanted[key] for key in ("study", "plan", "slot", "test", "setup", "boot", "order")}
    monkeypatch.setattr(session, "next_run", lambda _: {"run": None, "words": "Settled."})
    assert wait_for_another(day, wanted, "", facts, before=before)
    assert "The plan has gone on without this run" in capsys.readouterr().out
    (logs / "walk.csv").write_text(frames(16.6))
    for at[0] in (1.0, 5.0):
        gather(day, {})
    (logs / "next.csv").write_text(frames(16.8, seed=9))
    for at[0] in (6.0, 12.0):
        gather(day, {})  # what comes after its log is not this run's
    last = list(rig.state.spool.parcels())[-1]
    assert (last.name, last.facts) == ("next.csv", {"astray": "yes"})
    rig.state.spool.home(last)
    told = {each.parcel.name: each.told for each in send_home(rig)}
    assert told["walk.csv"]["state"] == "landed"
    assert told["old.csv"]["waits"]
    (each,) = load_study(served.wb, "lab").runs
    assert (each.run.setup, each.run.order) == (wanted["setup"], wanted["order"])


def test_a_log_that_appears_while_no_run_is_made_is_no_run_of_the_plan(
    served: Served, tmp_path: Path
) -> None:
    played_by_hand(served)
    rig = joined(served, tmp_path / "rig")
    (stray := tmp_path / "stray.csv").write_text(frames(16.6))
    session.send_log(rig, stray, {})
    (sent,) = send_home(rig)
    assert "its rig made no run when it appeared" in sent.told["waits"]
    assert load_study(served.wb, "lab").runs == ()


def test_what_was_made_of_the_next_run_goes_home_before_anybody_is_asked_to_make_it_again(
    served: Served, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A study that was put away and comes back offers the run whose log has not landed yet."""
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    rig.state.spool.add(b"a log", name="walk.csv", facts={key: wanted[key] for key in ("plan", "slot")})
    following = {**wanted, "slot": wanted["slot"] + 1}
    monkeypatch.setattr(
        session, "next_run", lambda _: {"run": wanted if list(rig.state.spool.parcels()) else following}
    )

    class Sending(Still):
        def home(self) -> None:
            for parcel in list(rig.state.spool.parcels()):
                rig.state.spool.home(parcel)

    on_duty: Any = Sending()
    assert upcoming(Day(rig=rig, sender=on_duty, operator=on_duty)) == following


def test_a_run_whose_log_is_awaited_is_not_begun_anew_when_the_plan_comes_back_to_it(
    served: Served, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    on_duty: Any = Still()  # asks nobody: being asked to begin would be an error here
    day = Day(rig=rig, sender=on_duty, operator=on_duty)
    day.late.facts, day.late.until = {key: wanted[key] for key in ("plan", "slot")}, time.monotonic() + 60
    monkeypatch.setattr(session, "next_run", lambda _: {"run": None, "words": "Done."})
    assert by_hand(day, wanted)
    assert "its log is awaited" in capsys.readouterr().out
    assert not day.late.of({**wanted, "slot": wanted["slot"] + 1})


class Impatient(Still):
    """Presses Enter as soon as it counts."""

    def pressed(self) -> bool:
        return True


def test_a_log_that_waits_in_the_inbox_is_told_at_the_rig_and_at_the_bench(
    served: Served, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Else whoever stands there makes a run again that the workbench has."""
    played_by_hand(served, known=False)
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    bench = f"{served.url}/studies/lab/bench"
    assert not wanted["waiting"]
    assert "may be its log" not in seen(bench)
    facts = {key: wanted[key] for key in ("study", "plan", "slot", "test", "setup", "boot", "order")}
    (log := tmp_path / "walk.csv").write_text(frames(16.6))
    session.send_log(rig, log, facts)
    assert send_home(rig)[-1].told["waits"]
    on_duty: Any = Impatient()
    day = Day(rig=rig, sender=on_duty, operator=on_duty)
    assert not wait_for_another(day, wanted, NO_LOG, {}, before={})
    told = capsys.readouterr().out
    assert "walk.csv waits in the inbox and may be its log" in told
    assert NO_LOG not in told
    assert seen(bench).count("walk.csv may be its log") == 1


def test_a_program_started_anew_waits_for_the_inbox_before_it_asks_for_the_run(
    served: Served, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    told = iter(({**wanted, "waiting": "walk.csv"}, None))
    monkeypatch.setattr(session, "next_run", lambda _: {"run": next(told), "words": "Done."})
    on_duty: Any = Still()  # asks nobody: being asked to begin would be an error here
    assert by_hand(Day(rig=rig, sender=on_duty, operator=on_duty), {**wanted, "waiting": "walk.csv"})
    assert "walk.csv waits in the inbox" in capsys.readouterr().out


def seen(url: str) -> str:
    """A page as this computer sees it."""
    with urllib.request.urlopen(url) as answer:
        return str(answer.read().decode())
