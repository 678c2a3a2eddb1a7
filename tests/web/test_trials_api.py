"""A rig tells how trials ended and asks what comes next: once each, and never past a limit."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import NOW
from tests.web.test_rig_api import rig

from evenhand.desk.opening import Desk
from evenhand.desk.tuning.noting import note_limit, note_tuned
from evenhand.store import trials as trial_store
from evenhand.web.app import make_app
from evenhand.web.served import OWN_NAMES, Site

PART = {
    "setup": "wren-mild", "part": "graphics", "stock_clock_mhz": 2550.0, "stock_voltage_mv": 1050.0,
    "clock_step_mhz": 15.0, "voltage_step_mv": 5.0,
}  # fmt: skip
TRIAL = {
    "setup": "wren-mild", "part": "graphics", "clock_mhz": 2550, "voltage_mv": 1050, "load": "matrices",
    "hours": 0.166667, "outcome": "passed", "planned_h": 0.166667, "found_after_h": None, "errors": 0,
    "settings": {"load-line": "level 4"}, "room_c": 24.0, "hottest_c": 69.5,
    "at": NOW.isoformat(), "note": "", "key": "b-1",
}  # fmt: skip
NEXT = "/api/rig/trials/next"
ASKED = {"setup": "wren-mild", "part": "graphics"}


@pytest.fixture
def tuned(wb: Desk) -> Desk:
    note_tuned(wb, PART, now=NOW)
    return wb


@pytest.fixture
def network(tuned: Desk) -> Iterator[TestClient]:
    site = Site(
        wb=tuned, now=lambda: NOW, hosts=OWN_NAMES | {"bench.local"}, network=("http://bench.local/",)
    )
    with TestClient(make_app(site), base_url="http://bench.local", client=("192.0.2.7", 50000)) as opened:
        yield opened


def limited(wb: Desk, most: float = 1150.0) -> None:
    limit = {"quantity": "voltage", "most": most, "source": "Harrowfen, data sheet"}
    note_limit(wb, "wren-mild", "graphics", limit, now=NOW, today=NOW.date())


def test_without_a_token_nothing_is_told_and_nothing_kept(tuned: Desk, network: TestClient) -> None:
    assert network.get(NEXT, params=ASKED).status_code == 401
    assert network.post("/api/rig/trials", json=TRIAL).status_code == 401
    assert trial_store.trials_of(tuned, ["wren-mild"]) == ()


def test_a_trial_sent_twice_is_one_and_is_the_rigs(tuned: Desk, network: TestClient) -> None:
    limited(tuned)
    headers = rig(tuned, "wren")
    first, second = (
        network.post("/api/rig/trials", json={**TRIAL, "by": "somebody else"}, headers=headers).json()
        for _ in range(2)
    )
    assert (first["again"], second["again"]) == (False, True)
    assert first["id"] == second["id"]
    (kept,) = trial_store.trials_of(tuned, ["wren-mild"])
    assert (kept.by, kept.key, dict(kept.settings)) == ("left bench", "b-1", {"load-line": "level 4"})


def test_without_a_limit_the_answer_says_why(tuned: Desk, network: TestClient) -> None:
    answer = network.get(NEXT, params=ASKED, headers=rig(tuned, "wren")).json()
    assert set(answer) == {"why", "limits"}
    assert "limit" in answer["why"]


def test_what_comes_next_is_told_with_limits_and_the_load_of_the_last_trial(
    tuned: Desk, network: TestClient
) -> None:
    limited(tuned)
    headers = rig(tuned, "wren")
    first = network.get(NEXT, params=ASKED, headers=headers).json()
    assert (first["clock_mhz"], first["voltage_mv"], first["load"]) == (2550.0, 1050.0, "")
    network.post("/api/rig/trials", json=TRIAL, headers=headers)
    second = network.get(NEXT, params=ASKED, headers=headers).json()
    assert (second["voltage_mv"], second["load"]) == (1045.0, "matrices")
    assert second["settings"] == {"load-line": "level 4"}
    assert [each["most"] for each in second["limits"]] == [1150.0]
    assert "why" not in second


def test_of_offsets_the_limit_is_told_as_what_may_be_added(tuned: Desk, network: TestClient) -> None:
    note_tuned(tuned, {**PART, "offset": True}, now=NOW)
    limited(tuned)
    answer = network.get(NEXT, params=ASKED, headers=rig(tuned, "wren")).json()
    assert answer["voltage_mv"] == 0.0
    assert answer["limits"][0]["most"] == 100.0


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"voltage_mv": 1155}, "voltage_mv"),
        ({"hours": -1}, "hours"),
        ({"outcome": "fine"}, "outcome"),
        ({"setup": "nothing"}, "setup"),
        ({"part": "memory"}, "part"),
        ({"more": 1}, "more"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(
    tuned: Desk, network: TestClient, changes: dict[str, object], where: str
) -> None:
    limited(tuned)
    answer = network.post("/api/rig/trials", json={**TRIAL, **changes}, headers=rig(tuned, "wren"))
    assert answer.status_code in (404, 422)
    assert answer.json()["error"]["where"] == where
    assert trial_store.trials_of(tuned, ["wren-mild"]) == ()


def test_other_facts_under_a_key_that_is_taken_are_refused(tuned: Desk, network: TestClient) -> None:
    limited(tuned)
    headers = rig(tuned, "wren")
    network.post("/api/rig/trials", json=TRIAL, headers=headers)
    answer = network.post("/api/rig/trials", json={**TRIAL, "hours": 0.2}, headers=headers)
    assert answer.status_code == 422
    assert answer.json()["error"]["where"] == "key"


def test_an_unknown_part_is_not_found(tuned: Desk, network: TestClient) -> None:
    headers = rig(tuned, "wren")
    assert network.get(NEXT, params={**ASKED, "part": "memory"}, headers=headers).status_code == 404
    assert network.get(NEXT, params={**ASKED, "setup": "x"}, headers=headers).status_code == 404


def test_a_rig_has_no_say_in_parts_of_another_machine(tuned: Desk, network: TestClient) -> None:
    limited(tuned)
    plover = rig(tuned, "plover")
    running = {
        name: TRIAL[name] for name in ("key", "setup", "part", "clock_mhz", "voltage_mv", "load", "hours")
    }
    for answer in (
        network.get(NEXT, params=ASKED, headers=plover),
        network.post("/api/rig/trials/here", json=running, headers=plover),
        network.post("/api/rig/trials", json=TRIAL, headers=plover),
    ):
        assert answer.status_code == 422
        error = answer.json()["error"]
        assert error["where"] == "setup"
        assert "it came from the rig that is Plover, and the trial is of a part of Wren" in error["found"]
    assert trial_store.trials_of(tuned, ["wren-mild"]) == ()
    anybody = rig(tuned, None, name="spare laptop")
    assert network.post("/api/rig/trials", json=TRIAL, headers=anybody).status_code == 200
    kept = {"digest": "0" * 64, "name": "heat.csv", "layout": {}, "columns": {}}
    answer = network.post("/api/rig/trials/b-1/heat", json=kept, headers=plover)
    assert answer.status_code == 422
    assert answer.json()["error"]["where"] == "setup", "nor of temperatures that were kept with them"
