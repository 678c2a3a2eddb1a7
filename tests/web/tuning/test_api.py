"""Tuned parts for programs over HTTP: the very answers of the commands, and what they may do."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.desk.tuning.small_chip import TRIAL, lay_part, tried, walked
from tests.web.conftest import NOW
from tests.web.tuning.told import by_command

from evenhand.desk.opening import Desk
from evenhand.store import trials as trial_store
from evenhand.store.tuned import tuned_parts

API = "/api/studies/quay/tuning"
DOCS = Path(__file__).parents[3] / "docs"
WORD = {
    "key": "a", "setup": "wren", "part": "processor", "clock_mhz": 5000.0, "voltage_mv": 1050.0,
    "load": "integers", "hours": 0.01, "planned_h": 1.0, "hottest_c": 71.0,
}  # fmt: skip


@pytest.fixture
def bench(bench: Desk) -> Desk:
    lay_part(bench)
    tried(bench, walked())
    return bench


@pytest.mark.parametrize(
    ("query", "asked"),
    [
        ("/wren", ("tuning", "wren")),
        ("/wren?part=processor&load=integers", ("tuning", "wren", "processor", "--load", "integers")),
        ("/wren/trials", ("trials", "wren")),
        ("/wren/watts", ("watts", "wren", "--study", "quay")),
        ("/wren/gain", ("gain", "quay", "wren")),
    ],
)
def test_it_is_the_answer_of_the_command(
    bench: Desk, site: TestClient, capsys: pytest.CaptureFixture[str], query: str, asked: tuple[str, ...]
) -> None:
    answer = site.get(f"{API}{query}")
    assert answer.status_code == 200
    assert answer.json() == by_command(bench, capsys, *asked)


def test_every_tuned_part_of_a_study_is_told_with_its_limits(
    bench: Desk, site: TestClient, capsys: pytest.CaptureFixture[str]
) -> None:
    told = site.get(API).json()
    assert told == {
        "study": "quay", "tuned": [by_command(bench, capsys, "tuned", "wren")], "under_way": [],
    }  # fmt: skip


def test_a_trial_that_runs_is_told_and_asked_to_stop_and_the_rig_hears_it(
    bench: Desk, site: TestClient
) -> None:
    assert site.post("/api/rig/trials/here", json=WORD).json()["stop"] == ""
    (told,) = site.get(API).json()["under_way"]
    assert (told["key"], told["hours"], told["by"], told["stop"]) == ("a", 0.01, "this computer", None)
    asked = site.post(f"{API}/wren/stop")
    assert asked.json()["stop"] == {"at": NOW.isoformat(), "by": "this computer"}
    assert "stop button" in site.post("/api/rig/trials/here", json=WORD).json()["stop"]
    site.post("/api/rig/trials", json={**TRIAL, "key": "a", "outcome": "stopped"})
    assert site.get(f"{API}/wren/trials").json()["under_way"] == []
    assert site.post(f"{API}/wren/stop").status_code == 404


def test_a_trial_that_will_leave_no_record_is_given_up_with_a_reason(site: TestClient) -> None:
    site.post("/api/rig/trials/here", json=WORD)
    assert site.post(f"{API}/wren/give-up", json={"reason": " "}).status_code == 422
    assert site.post(f"{API}/wren/give-up", json={"reason": "its disk is gone"}).status_code == 200
    assert site.get(API).json()["under_way"] == []


def test_trials_and_limits_are_taken_back_and_put_back(bench: Desk, site: TestClient) -> None:
    first = trial_store.trials_of(bench, ["wren"])[0].id
    (limit,) = tuned_parts(bench, ["wren"])[0].limits
    for thing in (f"trials/{first}", f"limits/{limit.id}"):
        there = f"{API}/wren/{thing}"
        assert site.post(f"{there}/take-back", json={"reason": ""}).status_code == 422
        assert site.post(f"{there}/put-back", json={"reason": "it counts"}).status_code == 404
        assert site.post(f"{there}/take-back", json={"reason": "a slip"}).status_code == 200
        back = site.post(f"{there}/put-back", json={"reason": "it was none"})
        assert back.json()["id"] == int(thing.rpartition("/")[2])
    (told,) = [each for each in site.get(f"{API}/wren/trials").json()["trials"] if each["id"] == first]
    assert told["taken_back"] is None
    assert [(turn["counts"], turn["reason"]) for turn in told["turns"]] == [
        (False, "a slip"),
        (True, "it was none"),
    ]
    assert tuned_parts(bench, ["wren"])[0].limits == (limit,)


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("/gull", "'gull' is no setup of this study"),
        ("/plover", "no part of plover is tuned yet"),
        ("/wren?part=memory", "'memory' is no tuned part of wren"),
        ("/wren?load=tides", "nothing was tried under 'tides'"),
        ("/wren/trials?part=memory", "'memory' is no tuned part of wren"),
    ],
)
def test_what_is_not_there_is_not_found_in_words(site: TestClient, path: str, said: str) -> None:
    answer = site.get(f"{API}{path}")
    assert answer.status_code == 404
    assert said in answer.json()["error"]["found"]


def test_every_way_is_in_the_page_about_them(site: TestClient) -> None:
    page = (DOCS / "formats-http-tuning.md").read_text(encoding="utf-8")
    paths = site.get("/api/openapi.json").json()["paths"]
    ways = {
        f"{how.upper()} {path}"
        for path, asked in paths.items()
        for how in asked
        if "/tuning" in path or path.startswith("/api/rig/trials")
    }
    assert ways == set(re.findall(r"^\| `(\w+ /api[^`?]+)", page, re.MULTILINE))
