"""Uploads piece by piece and at once: resumed, repeated, cut off, too large, in disorder, of no log."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import LATER, NOW, day_log
from tests.web.conftest import client_of

from evenhand.desk.bench import landing, spool, uploading
from evenhand.desk.bench.came_answers import came_answer
from evenhand.desk.bench.landing import arrive
from evenhand.desk.bench.placing import put_away
from evenhand.desk.on_record import NOT_JUDGED, load_study
from evenhand.desk.opening import Desk
from evenhand.records.runs import RunState
from evenhand.store import arrivals, originals
from evenhand.traces.limits import Limits

WREN = {"study": STUDY, "test": "causeway", "setup": "wren"}


@pytest.fixture
def site(quay: Desk) -> Iterator[TestClient]:
    with client_of(quay) as opened:
        yield opened


def hash_of(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def send(site: TestClient, data: bytes, *, at: int = 0, mark: str | None = None, **headers: str) -> Any:
    address = f"/api/uploads/{mark or hash_of(data)}"
    return site.patch(address, content=data[at:], headers={"Upload-Offset": str(at), **headers})


def land(site: TestClient, data: bytes, name: str = "wren.csv", **facts: Any) -> Any:
    return site.post(f"/api/uploads/{hash_of(data)}/land", json={"name": name, "facts": facts})


def runs(quay: Desk) -> int:
    return len(load_study(quay, STUDY).runs)


def test_a_log_sent_in_pieces_lands_with_its_numbers(site: TestClient, quay: Desk) -> None:
    data = log()
    address, half = f"/api/uploads/{hash_of(data)}", len(data) // 2
    assert site.get(address).json() == {"have": 0, "done": False}
    first = site.patch(address, content=data[:half], headers={"Upload-Offset": "0"})
    assert first.json() == {"have": half, "done": False}
    assert first.headers["upload-offset"] == str(half)
    send(site, data, at=half)
    told = land(site, data, **WREN, boot="wren-4", ambient_c=23.5, stamps={"driver": "31.4"}).json()
    assert (told["state"], told["again"], told["waits"]) == ("landed", False, None)
    assert told["numbers"]["average_fps"] == pytest.approx(100, rel=0.02)
    run = load_study(quay, STUDY).run(told["run"]).run
    assert (run.boot, run.ambient_c, run.stamps) == ("wren-4", 23.5, {"driver": "31.4"})
    assert not list(spool.folder_of(quay).iterdir())
    assert site.get(address).json() == {"have": len(data), "done": True}


def test_every_step_may_be_repeated(site: TestClient, quay: Desk) -> None:
    data = log()
    for _ in range(2):
        send(site, data)
        told = [land(site, data, **WREN).json() for _ in range(2)]
    assert [each["again"] for each in told] == [True, True]
    assert len({each["run"] for each in told}) == 1
    assert runs(quay) == 19
    assert len(arrivals.arrivals_of(quay, hash_of(data))) == 1


@pytest.mark.parametrize("offset", [0, 7, 10_000_000])
def test_a_piece_at_the_wrong_place_is_told_the_right_one(site: TestClient, offset: int) -> None:
    data = log()
    site.patch(f"/api/uploads/{hash_of(data)}", content=data[:50], headers={"Upload-Offset": "0"})
    gap = site.patch(
        f"/api/uploads/{hash_of(data)}", content=data[:9], headers={"Upload-Offset": str(offset)}
    )
    assert (gap.status_code, gap.json()["have"], gap.headers["upload-offset"]) == (409, 50, "50")
    assert gap.json()["error"]["todo"] == "send on from byte 50"


def test_landing_before_anything_came_is_told_where_to_begin(site: TestClient) -> None:
    gap = land(site, log(), **WREN)
    assert (gap.status_code, gap.json()["have"]) == (409, 0)


def test_half_an_upload_that_is_landed_too_early_is_kept_and_goes_on(site: TestClient, quay: Desk) -> None:
    data = log()
    there, half = f"/api/uploads/{hash_of(data)}", len(data) // 2
    headers = {"Upload-Offset": "0", "Upload-Length": str(len(data))}
    site.patch(there, content=data[:half], headers=headers)
    early = land(site, data, **WREN)
    assert (early.status_code, early.json()["have"]) == (409, half)
    assert early.json()["error"]["found"] == f"{half:,} of {len(data):,} bytes are here"
    send(site, data, at=half)
    assert land(site, data, **WREN).json()["state"] == "landed"
    assert list(spool.folder_of(quay).iterdir()) == []


def test_bytes_that_do_not_have_their_hash_are_thrown_away(site: TestClient, quay: Desk) -> None:
    data = log()
    send(site, data[:-9] + b"\0" * 9, mark=hash_of(data))
    refused = land(site, data, **WREN)
    assert refused.status_code == 422
    assert "do not have the hash" in refused.json()["error"]["found"]
    assert site.get(f"/api/uploads/{hash_of(data)}").json()["have"] == 0
    send(site, data)
    assert land(site, data, **WREN).json()["state"] == "landed"
    assert runs(quay) == 19


def test_what_is_no_log_is_kept_and_waits_with_the_reason(site: TestClient, quay: Desk) -> None:
    data = b"a picture of a cat"
    send(site, data)
    told = land(site, data, name="../../cat.png", **WREN).json()
    assert (told["run"], told["state"]) == (None, None)
    assert "cat.png" in told["waits"]
    assert originals.original(quay, hash_of(data)) == data
    assert arrivals.waiting(quay)[0][0].name == "cat.png"


def test_a_file_of_no_bytes_waits_as_well(site: TestClient) -> None:
    assert "empty" in land(site, b"", **WREN).json()["waits"]


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"study": "gone", "test": "causeway", "setup": "wren"}, "'gone', which is not on this workbench"),
        ({**WREN, "setup": "heron"}, "not sure which run it is"),
        ({**WREN, "test": "render"}, "it looks like a log of frames"),
    ],
)
def test_a_log_for_what_is_not_there_waits(site: TestClient, facts: dict[str, str], said: str) -> None:
    data = log()
    send(site, data)
    answer = land(site, data, name="frames.csv", **facts)
    assert answer.status_code == 200
    assert said in answer.json()["waits"]


def test_an_upload_past_the_limit_is_refused(
    site: TestClient, quay: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = send(site, b"x", **{"Upload-Length": str(3 * 2**30)})
    assert (told.status_code, told.json()["error"]["kind"]) == (413, "TooLarge")
    monkeypatch.setattr(spool, "PIECE_BYTES", 100)
    assert send(site, log()).status_code == 413
    with pytest.raises(spool.TooLarge):
        spool.add(quay, hash_of(b"x"), b"12345", offset=0, limits=Limits(max_bytes=4))
    assert not spool.folder_of(quay).exists()


def test_all_uploads_on_their_way_together_are_bounded(
    site: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(spool, "MOST_BYTES", 1000)
    assert send(site, b"a" * 900).status_code == 200
    assert send(site, b"b" * 200).status_code == 413
    assert send(site, b"c" * 100).status_code == 200


@pytest.mark.parametrize("mark", ["..%2f..%2fx", "abc", "A" * 64, "0" * 63 + "/"])
def test_only_a_hash_names_an_upload(site: TestClient, quay: Desk, mark: str) -> None:
    answer = site.patch(f"/api/uploads/{mark}", content=b"x", headers={"Upload-Offset": "0"})
    assert answer.status_code in (404, 405, 422)
    assert not spool.folder_of(quay).exists()


@pytest.mark.parametrize(
    "facts",
    [{"order": -1}, {"started_at": "2031-05-04T09:30:00"}, {"wall_w": "lots"}, {"stamps": {"": "x"}}],
)
def test_facts_that_cannot_be_are_refused_before_anything_is_kept(
    site: TestClient, quay: Desk, facts: dict[str, Any]
) -> None:
    data = log()
    send(site, data)
    assert land(site, data, **WREN, **facts).status_code == 422
    assert arrivals.waiting(quay) == ()


def test_what_is_no_log_is_said_to_be_none_and_kept(site: TestClient) -> None:
    told = site.post("/api/logs", files={"file": ("photo.bin", bytes(range(256)) * 12)}).json()
    assert "photo.bin: it cannot be read as a log: line 1: zero bytes stand in the text" in told["words"]
    assert told["words"].endswith("it is kept; put it away in the inbox.")
    page = site.get("/inbox").text
    assert "Line 1: zero bytes stand in the text" in page
    assert "Photo.bin" not in page


def test_a_whole_log_in_one_request(site: TestClient, quay: Desk) -> None:
    form = {"facts": json.dumps(WREN)}
    told = site.post("/api/logs", files={"file": ("wren.csv", log())}, data=form).json()
    assert told["state"] == "landed"
    by_name = site.post("/api/logs", files={"file": ("plover-causeway.csv", log(3, fps=125.0))}).json()
    assert load_study(quay, STUDY).run(by_name["run"]).run.setup == "plover"
    assert site.post("/api/logs", files={"file": ("a", log())}, data={"facts": "{"}).status_code == 422


def test_a_sensor_log_waits_outside_the_inbox_for_its_run(site: TestClient, quay: Desk) -> None:
    readings = day_log(hot_from_s=9e9, hours=0.01)
    columns = [
        {"header": "time", "role": "time of day"},
        {"header": "board [°C]", "role": "temperature", "unit": "°C", "about": "board"},
        {"header": "core [MHz]", "role": "clock", "unit": "MHz", "about": "core"},
    ]
    send(site, readings)
    facts = {"kind": "sensors", "layout": {"kind": "sensors", "columns": columns}}
    kept = land(site, readings, name="sensors.csv", **facts).json()
    assert (kept["run"], kept["waits"]) == (None, None)
    assert arrivals.waiting(quay) == ()
    data = log()
    send(site, data)
    beside = {"sensors": hash_of(readings), "started_at": NOW.isoformat(), "duration_s": 8.0}
    told = land(site, data, **WREN, **beside).json()
    assert any("temperature" in key for key in told["numbers"])
    assert load_study(quay, STUDY).run(told["run"]).run.sensors == hash_of(readings)


def test_a_score_that_a_rig_found_lands_with_what_the_test_said(site: TestClient, quay: Desk) -> None:
    output = b"warming up\nscore: 12.1 min\n"
    send(site, output)
    facts = {"kind": "score", "study": STUDY, "test": "render", "setup": "wren", "score": 12.1, "order": 40}
    told = land(site, output, name="render.txt", **facts).json()
    assert told["words"].startswith("Landed: 12.1")
    assert land(site, output, name="render.txt", **facts).json()["run"] == told["run"]


def test_pieces_that_nobody_goes_on_with_are_thrown_away_after_days(site: TestClient, quay: Desk) -> None:
    data, other = log(), log(2)
    send(site, data)
    send(site, other)
    old = spool.folder_of(quay) / hash_of(data)
    then = (LATER - 2 * spool.KEPT_FOR).timestamp()
    os.utime(old, (then, then))
    os.utime(spool.folder_of(quay) / hash_of(other), (LATER.timestamp(), LATER.timestamp()))
    (spool.folder_of(quay) / "somebody's notes.txt").write_text("not ours")
    assert spool.clear_old(quay, now=LATER) == 1
    assert {path.name for path in spool.folder_of(quay).iterdir()} == {
        hash_of(other),
        "somebody's notes.txt",
    }


def test_what_was_kept_and_not_placed_before_a_stop_lands_at_the_next_start(quay: Desk) -> None:
    came = arrive(quay, log(), name="wren.csv", by="rig-1", about=WREN, now=LATER)
    assert arrivals.waiting(quay)[0][0] == came
    uploading.after_a_stop(quay, now=LATER)
    assert arrivals.waiting(quay) == ()
    assert [each.state for each in load_study(quay, STUDY).runs].count(RunState.LANDED) == 19


def test_what_comes_in_after_a_start_is_left_to_whoever_brings_it(quay: Desk) -> None:
    there = arrivals.newest(quay)
    came = arrive(quay, log(), name="wren.csv", by="rig-1", about=WREN, now=LATER)
    uploading.after_a_stop(quay, now=LATER, until=there)
    assert arrivals.waiting(quay)[0][0] == came


def test_what_landed_and_was_not_judged_before_a_stop_is_judged_at_the_next_start(
    quay: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as stopped:
        stopped.setattr(landing, "judge_landed", lambda *_, **__: None)
        came = uploading.take_in(quay, log(), name="x.csv", facts=WREN, by="rig-1", now=LATER)
    assert came.landed is not None
    assert came.landed.run.faults == (NOT_JUDGED,)
    uploading.after_a_stop(quay, now=LATER)
    assert load_study(quay, STUDY).run(came.landed.run.run.id).state is RunState.LANDED


def test_a_start_after_which_nothing_is_left_to_do_reads_no_study(
    quay: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[str] = []
    monkeypatch.setattr(uploading, "load_study", lambda _, key: read.append(key))
    uploading.after_a_stop(quay, now=LATER)
    assert read == []


def test_a_rig_cannot_bring_a_run_of_another_machine(quay: Desk) -> None:
    facts = {**WREN, "build": "plover"}
    came = uploading.take_in(quay, log(), name="x.csv", facts=facts, by="rig-1", now=LATER)
    assert came.landed is None
    assert "it came from the rig that is Plover, and the run is one of Wren" in came.waits


def test_a_run_that_is_sent_again_as_another_machines_is_told_as_what_it_is(quay: Desk) -> None:
    first = uploading.take_in(quay, log(), name="x.csv", facts=WREN, by="rig-1", now=LATER)
    assert first.landed is not None
    as_plovers = {**WREN, "build": "plover"}
    came = uploading.take_in(quay, log(), name="x.csv", facts=as_plovers, by="rig-1", now=LATER)
    told = came_answer(quay, came)
    assert (told["run"], told["again"], told.get("waits")) == (first.landed.run.run.id, True, None)
    assert "it came from the rig that is Plover, and the run is one of Wren" in told["words"]
    assert (
        "on record already, as Wren, Salt Causeway, run 4, in “The study quay”. What to do:" in told["words"]
    )
    assert not arrivals.waiting(quay)


def test_under_another_name_it_waits_as_was_promised(quay: Desk) -> None:
    uploading.take_in(quay, log(), name="x.csv", facts=WREN, by="rig-1", now=LATER)
    as_plovers = {**WREN, "build": "plover"}
    came = uploading.take_in(quay, log(), name="y.csv", facts=as_plovers, by="rig-1", now=LATER)
    assert came.waits
    assert [arrival.name for arrival, _ in arrivals.waiting(quay)] == ["y.csv"]


def test_what_was_put_away_is_not_said_to_wait(quay: Desk) -> None:
    came = uploading.take_in(quay, log(), name="x.csv", facts={}, by="rig-1", now=LATER)
    assert came.waits
    put_away(quay, came.arrival.id, note="a trial", by="me", now=LATER)
    told = came_answer(quay, uploading.take_in(quay, log(), name="x.csv", facts={}, by="rig-1", now=LATER))
    assert (told.get("run"), told.get("waits")) == (None, None)
    assert "were put away as no run (a trial). What to do: if it is a run, bring it back" in told["words"]


def test_a_run_that_ends_an_hour_after_it_came_in_lands_and_its_sender_is_told(
    site: TestClient, quay: Desk
) -> None:
    data, ahead = log(), (NOW + timedelta(hours=1)).isoformat()
    send(site, data)
    told = land(site, data, **WREN, started_at=ahead).json()
    assert (told["state"], told["waits"]) == ("landed", None)
    assert "Its log ends 1\xa0h" in told["words"]
    assert "the rig’s clock is ahead, as by summer time or a wrong time zone." in told["words"]
