"""The plan for programs: made, followed, noted, and what may be said meanwhile."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import NOW

from evenhand.desk.opening import Desk
from evenhand.records.studies import Study
from evenhand.store import shelves

API = "/api/studies/spring"


@pytest.fixture
def wb(wb: Desk) -> Desk:
    """The workbench with a second study of two of the machines, which has no runs yet."""
    there = shelves.one(wb, Study, "saltmarsh")
    spring = Study(
        key="spring",
        title="Spring",
        setups=there.setups[:2],
        tests=there.tests[:3],
        ambient_c=there.ambient_c,
    )
    shelves.save(wb, spring, now=NOW)
    return wb


def test_a_plan_is_shown_before_it_is_made(client: TestClient) -> None:
    shown = client.post(f"{API}/plan", json={"looks": [3], "only_shown": True}).json()
    assert (shown["plan"], shown["runs"]) == (None, 18)
    assert client.get(f"{API}/plan").status_code == 404


def test_a_plan_that_was_made_is_answered_from_then_on(client: TestClient) -> None:
    made = client.post(f"{API}/plan", json={"looks": [3, 5], "seed": 4}).json()
    assert client.get(f"{API}/plan").json() == made
    assert (made["looks"], made["seed"], made["slots"][0]["due"]) == ([3, 5], 4, True)


def test_readings_are_noted_and_doubted_and_slots_skipped(client: TestClient) -> None:
    slot = client.post(f"{API}/plan", json={}).json()["slots"][0]["number"]
    notes = f"{API}/plan/slots/{slot}/notes"
    hot = client.post(notes, json={"key": "ambient_c", "value": "35,5"}).json()
    assert "outside 21 to 27" in hot["doubt"]
    client.post(notes, json={"key": "skip", "value": "spilt tea"})
    told = client.get(f"{API}/plan").json()["slots"][0]
    assert (told["state"], told["why"], told["notes"]) == ("skipped", "spilt tea", {"ambient_c": "35.5"})
    again = client.post(notes, json={"key": "skip", "value": "no time"})
    assert (again.status_code, again.json()["error"]["kind"]) == (409, "Overtaken")
    assert again.json()["error"]["found"] == "Run 1 was skipped meanwhile: spilt tea. Nothing was skipped"
    client.post(notes, json={"key": "skip", "value": ""})
    assert client.get(f"{API}/plan").json()["slots"][0]["state"] == "next"


def test_the_rest_is_laid_out_anew(client: TestClient) -> None:
    client.post(f"{API}/plan", json={"looks": [3]})
    again = client.post(f"{API}/plan/again", json={"seed": 2})
    assert again.json()["note"] == "planned anew"
    refused = client.post(f"{API}/plan/again", json={"without": ["wren", "dunlin", "plover"]})
    assert refused.status_code == 422


@pytest.mark.parametrize("looks", [[5, 3], [2, 50], [0], []])
def test_looks_that_cannot_be_declared_are_refused(client: TestClient, looks: list[int]) -> None:
    assert client.post(f"{API}/plan", json={"looks": looks}).status_code == 422


def test_what_may_be_said_is_told_line_by_line(client: TestClient) -> None:
    told = client.get("/api/studies/saltmarsh/live").json()
    assert not told["declared"]
    assert {line["outcome"] for line in told["lines"]} <= {"ahead", "behind", "level", "unsettled"}
    assert client.get("/api/studies/nobody/live").status_code == 404


def test_names_are_hidden_until_the_plan_is_done_or_shown_early(client: TestClient) -> None:
    client.post(f"{API}/plan", json={"looks": [3, 5, 8]})
    assert client.post(f"{API}/plan/mask", json={"masked": True}).json() == {
        "study": "spring",
        "masked": True,
    }
    assert client.get(f"{API}/live").status_code == 409
    assert client.post(f"{API}/plan/mask", json={"masked": False}).json()["masked"] is False
    assert client.get(f"{API}/live").status_code == 200
