"""The way is lost, things change meanwhile, and no run is lost or doubled."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.rig.conftest import BATCH, NOW, joined, machine, send_home
from tests.web.conftest import serving
from tests.web.looking import Served

from evenhand.desk.bench.admitting import all_devices, shut_out
from evenhand.desk.bench.inbox import inbox
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.errors import EvenhandError
from evenhand.records.studies import Study
from evenhand.rig import session, uploading
from evenhand.rig.asking import Answer, Refused, ShutOut, Unreachable, ask
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import Found, Sensor
from evenhand.rig.sending import Sender
from evenhand.rig.session import Rig
from evenhand.rig.state import State
from evenhand.rig.uploading import drain
from evenhand.store import shelves


def made(rig: Rig) -> dict[str, Any]:
    """A run that was made and is on its way; what was wanted."""
    wanted = session.next_run(rig)["run"]
    assert wanted
    assert session.make_scripted(rig, wanted, stop=threading.Event()).score == 41.5
    found: dict[str, Any] = wanted
    return found


def on_record(wb: Desk) -> list[float | None]:
    """The scores on record."""
    return [each.run.score for each in load_study(wb, "lab").runs]


def test_an_upload_that_is_cut_off_in_the_middle_goes_on_from_there(
    served: Served, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rig = joined(served, tmp_path / "rig")
    made(rig)
    monkeypatch.setattr(uploading, "PIECE_BYTES", 4)
    asked: list[tuple[str, str]] = []

    def cut(address: object, method: str, path: str, **about: Any) -> Answer:
        asked.append((method, path))
        if method == "PATCH" and sum(way == "PATCH" for way, _ in asked) in (3, 9):
            raise Unreachable("the way is lost")
        return ask(address, method, path, **about)  # type: ignore[arg-type]

    monkeypatch.setattr(uploading, "ask", cut)
    for _ in range(2):
        with pytest.raises(Unreachable):
            drain(rig.address, rig.state.spool, lambda _: None)
        assert on_record(served.wb) == []
    pieces = sum(way == "PATCH" for way, _ in asked)
    send_home(rig)
    sent = sum(way == "PATCH" for way, _ in asked)
    size = sum(path.stat().st_size for path in (tmp_path / "rig").rglob("spool/*/data"))
    assert size == 0  # all is home
    assert sent > pieces
    assert on_record(served.wb) == [41.5]


def test_a_piece_whose_acknowledgement_was_lost_is_not_added_twice(
    served: Served, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rig = joined(served, tmp_path / "rig")
    made(rig)
    lost: list[str] = []

    def deaf(address: object, method: str, path: str, **about: Any) -> Answer:
        answer = ask(address, method, path, **about)  # type: ignore[arg-type]
        if len(lost) < 4 and method in ("PATCH", "POST"):
            lost.append(path)
            raise Unreachable("the answer is lost")
        return answer

    monkeypatch.setattr(uploading, "ask", deaf)
    for _ in range(4):
        with pytest.raises(Unreachable):
            drain(rig.address, rig.state.spool, lambda _: None)
    send_home(rig)
    assert on_record(served.wb) == [41.5]


def test_a_workbench_that_ends_and_comes_back_gets_everything_once(lab: Desk, tmp_path: Path) -> None:
    with serving(lab) as served:
        rig = joined(served, tmp_path / "rig")
        made(rig)
    sender = Sender(rig)
    with sender, serving(lab) as again:
        sender.rig = replace(rig, address=replace(rig.address, url=again.url))
        sender.home()
    assert on_record(lab) == [41.5]


def test_a_rig_that_is_killed_sends_at_its_next_start_what_it_had_kept(
    served: Served, tmp_path: Path
) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = made(rig)
    again = joined(served, tmp_path / "rig")  # another process finds the same folder
    send_home(again)
    assert on_record(served.wb) == [41.5]
    following = session.next_run(again)["run"]
    assert following is None or following["slot"] != wanted["slot"]


def test_a_token_taken_back_stops_the_sending_and_keeps_the_run(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    made(rig)
    (device,) = all_devices(served.wb)
    shut_out(served.wb, device.id, now=NOW)
    with Sender(rig) as sender, pytest.raises(ShutOut, match="does not let this rig in"):
        sender.home()
    assert len(list(rig.state.spool.parcels())) == 2
    assert on_record(served.wb) == []


def test_a_plan_made_anew_meanwhile_takes_the_run_all_the_same(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    made(rig)
    make_plan(served.wb, "lab", Terms(looks=(3, 5)), seed=2, now=NOW)
    told = send_home(rig)[-1].told
    assert told["run"]
    assert on_record(served.wb) == [41.5]


def test_a_run_of_a_study_that_no_longer_has_its_test_waits_in_the_inbox(
    served: Served, tmp_path: Path
) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = made(rig)
    other = replace(BATCH, key="other", name="Another batch")
    shelves.save(served.wb, other, now=NOW)
    study = replace(shelves.one(served.wb, Study, "lab"), tests=("other",))
    shelves.save(served.wb, study, now=NOW)
    told = send_home(rig)[-1].told
    assert wanted["test"] == "batch"
    waiting = [waits.arrival.id for waits in inbox(served.wb)]
    assert (waiting == []) if told["run"] else (waiting == [told["arrival"]])  # one of the two


def test_a_run_of_a_study_that_is_gone_waits_in_the_inbox(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    gone = {**wanted, "study": "left-long-ago", "plan": 77, "slot": 5, "test": "unknown"}
    session.make_scripted(rig, gone, stop=threading.Event())
    told = send_home(rig)[-1].told
    assert told["waits"]
    (waits,) = inbox(served.wb)
    assert waits.arrival.id == told["arrival"]


def test_sensors_that_give_nothing_do_not_keep_a_run_from_landing(served: Served, tmp_path: Path) -> None:
    mute = Sensor(role="fan", about="board", source="nowhere", read=lambda: None)
    of = Machine(found=Found(sensors=(mute,)), stamps={}, boot="boot-1")
    rig = replace(joined(served, tmp_path / "rig"), machine=of)
    made(rig)
    send_home(rig)
    assert on_record(served.wb) == [41.5]


def test_what_is_not_wanted_is_kept_aside_and_the_rest_goes_on(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    rig.state.spool.add(b"x", name="bad", facts={"kind": "score", "score": -1})
    made(rig)
    refused: list[Refused] = []
    assert drain(rig.address, rig.state.spool, lambda _: None, lambda why, _: refused.append(why)) == 1
    assert len(refused) == 1
    assert on_record(served.wb) == [41.5]
    assert [path.name for path in (tmp_path / "rig" / "not-taken").iterdir()]


def test_a_machine_that_was_restarted_counts_its_starts(served: Served, tmp_path: Path) -> None:
    counts = []
    for boot in ("one", "one", "two", "three"):
        rig = joined(served, tmp_path / "rig", boot=boot)
        counts.append(session.introduction(rig.state, machine(boot))["boots"])
    assert counts == [1, 1, 2, 3]


def test_a_go_that_does_not_count_sends_nothing(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    assert wanted
    failing = {**wanted, "script": {**wanted["script"], "command": "false"}}
    assert session.make_scripted(rig, failing, stop=threading.Event()).trouble
    assert list(rig.state.spool.parcels()) == []


def test_what_a_killed_start_left_half_done_is_swept_away_and_nothing_else(tmp_path: Path) -> None:
    state = State(folder=tmp_path)
    state.spool.add(b"1", name="a", facts={})
    (tmp_path / "run-half").mkdir()
    (tmp_path / "run-half" / "sensors.csv").write_text("half")
    (tmp_path / "spool" / ".00000002").mkdir()
    state.sweep()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["spool"]
    assert [path.name for path in (tmp_path / "spool").iterdir()] == ["00000001"]


def test_where_sending_broke_nobody_waits_for_ever(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    rig.state.spool.add(b"1", name="a", facts={})
    sender = Sender(rig)
    sender._work = lambda: None  # type: ignore[method-assign]
    sender._thread = threading.Thread(target=sender._work)
    with sender, pytest.raises(EvenhandError, match="sending has stopped"):
        sender.home()
