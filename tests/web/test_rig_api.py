"""A rig says what it is and asks what to run; slots are handed out in their turn, each to one rig."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import NOW

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.web.app import make_app
from evenhand.web.served import OWN_NAMES, Site

HELLO = {
    "version": "0.1.0",
    "stamps": {"os": "Tidewater 4"},
    "boot": "b-1",
    "boots": 3,
    "sensors": [{"header": "clock of processor [MHz]", "source": "/sys/…"}],
    "unreadable": [{"what": "fans", "why": "the kernel shows no hardware monitor"}],
}


@pytest.fixture
def planned(wb: Desk) -> Desk:
    """A study of the Saltmarsh machines that has a plan and no run yet."""
    spring = replace(shelves.one(wb, Study, "saltmarsh"), key="spring", title="The machines in spring")
    shelves.save(wb, spring, now=NOW)
    make_plan(wb, "spring", Terms(looks=(3, 5, 8)), seed=7, now=NOW)
    return wb


@pytest.fixture
def network(planned: Desk) -> Iterator[TestClient]:
    """The local network."""
    site = Site(
        wb=planned, now=lambda: NOW, hosts=OWN_NAMES | {"bench.local"}, network=("http://bench.local/",)
    )
    with TestClient(make_app(site), base_url="http://bench.local", client=("192.0.2.7", 50000)) as opened:
        yield opened


def rig(wb: Desk, build: str | None, name: str = "left bench") -> dict[str, str]:
    """The headers of a rig that was let in."""
    token = admit(wb, name=name, scope=Scope.RIG, build=build, now=NOW).token
    return {"authorization": f"Bearer {token}"}


def test_a_rig_learns_its_name_its_build_and_the_time(planned: Desk, network: TestClient) -> None:
    answer = network.post("/api/rig/hello", json=HELLO, headers=rig(planned, "plover")).json()
    assert answer == {"name": "left bench", "build": "plover", "time": NOW.isoformat().replace("+00:00", "Z")}


def test_it_is_told_a_run_of_its_own_build_when_its_turn_has_come(planned: Desk, network: TestClient) -> None:
    turns = {
        b: network.get("/api/rig/next", headers=rig(planned, b, b)).json()
        for b in ("plover", "dunlin", "wren")
    }
    due = [b for b, told in turns.items() if told["run"]]
    assert due
    for build in due:
        run = turns[build]["run"]
        assert run["setup"].startswith(build)
        assert run["study"] == "spring"
        assert "run 1 of" in run["words"]
        assert run["boot"]
    for build in set(turns) - set(due):
        assert turns[build]["words"] == "Another rig has its turn first."
        assert turns[build]["left"] > 0


def test_two_rigs_are_never_given_the_same_slot(planned: Desk, network: TestClient) -> None:
    first = network.get("/api/rig/next", headers=rig(planned, None, "left")).json()["run"]
    second = network.get("/api/rig/next", headers=rig(planned, None, "right")).json()["run"]
    assert first
    assert second is None or second["slot"] != first["slot"]


def test_asking_again_gives_the_same_slot(planned: Desk, network: TestClient) -> None:
    headers = rig(planned, None)
    assert (
        network.get("/api/rig/next", headers=headers).json()
        == network.get("/api/rig/next", headers=headers).json()
    )


def test_without_a_plan_nothing_is_to_be_run(client: TestClient) -> None:
    told = client.get("/api/rig/next").json()
    assert (told["run"], told["words"], told["left"]) == (None, "Nothing is planned for this rig now.", 0)


def test_a_phone_is_no_rig(planned: Desk, network: TestClient) -> None:
    token = admit(planned, name="phone", scope=Scope.PHONE, now=NOW).token
    assert network.get("/api/rig/next", headers={"authorization": f"Bearer {token}"}).status_code == 403


def test_an_introduction_without_end_is_refused(planned: Desk, network: TestClient) -> None:
    many = {**HELLO, "sensors": [HELLO["sensors"][0]] * 300}  # type: ignore[index]
    assert network.post("/api/rig/hello", json=many, headers=rig(planned, None)).status_code == 422


COST = {"share_pct": 0.21, "memory_mib": 18.6}


def test_what_taking_part_costs_a_rig_stands_on_the_bench_page(planned: Desk, network: TestClient) -> None:
    headers = rig(planned, None)
    network.post("/api/rig/hello", json=HELLO, headers=headers)
    heard = network.post("/api/rig/here", json=COST, headers=headers).json()
    assert heard["time"] == NOW.isoformat().replace("+00:00", "Z")
    full = admit(planned, name="tablet", scope=Scope.PHONE, now=NOW).token
    page = network.get("/studies/spring/bench", headers={"authorization": f"Bearer {full}"}).text
    assert "costs this machine 0.21\u00a0% of a core, 19\u00a0MiB" in page


def test_a_rig_that_ends_leaves_its_run_to_others(planned: Desk, network: TestClient) -> None:
    left, right = rig(planned, None, "left"), rig(planned, None, "right")
    first = network.get("/api/rig/next", headers=left).json()["run"]
    assert network.post("/api/rig/here", json={}, headers=left).status_code == 200
    other = network.get("/api/rig/next", headers=right).json()["run"]
    assert other is None or other["slot"] != first["slot"]
    network.post("/api/rig/here", json={"ended": True}, headers=left)
    assert network.get("/api/rig/next", headers=right).json()["run"]["slot"] == first["slot"]


def test_after_a_new_start_of_the_site_a_rig_keeps_the_run_it_makes(
    planned: Desk, network: TestClient
) -> None:
    left, right = rig(planned, None, "left"), rig(planned, None, "right")
    first = network.get("/api/rig/next", headers=left).json()["run"]
    site = Site(wb=planned, now=lambda: NOW, hosts=OWN_NAMES | {"bench.local"}, network=("http://x/",))
    app = make_app(site)
    with TestClient(app, base_url="http://bench.local", client=("192.0.2.7", 50000)) as again:
        here = {"plan": first["plan"], "slot": first["slot"]}
        again.post("/api/rig/here", json=here, headers=left)
        told = again.get("/api/rig/next", headers=right).json()["run"]
    assert told is None or told["slot"] != first["slot"]


def test_a_token_that_was_taken_back_opens_nothing_on_this_computer_either(client: TestClient) -> None:
    answer = client.get("/api/rig/next", headers={"authorization": "Bearer long-gone"})
    assert answer.status_code == 401
    assert "opens nothing" in answer.json()["error"]["found"]
