"""Parts and fit for programs over HTTP: the very answers of the commands, and no fact without its source."""

from __future__ import annotations

import json
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import NOW

from evenhand.cli.main import run
from evenhand.desk.opening import Desk

API = "/api/studies/saltmarsh"
CARD = f"{API}/parts/harrowfen-lantern-36"


def by_command(wb: Desk, capsys: pytest.CaptureFixture[str], *asked: str) -> dict[str, Any]:
    assert run(["--workbench", str(wb.path), *asked, "--json"]) == 0
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    return told


def test_it_is_the_answer_of_the_command(
    client: TestClient, wb: Desk, capsys: pytest.CaptureFixture[str]
) -> None:
    assert client.get(f"{API}/fit").json() == by_command(wb, capsys, "fit", "saltmarsh")
    assert client.get(CARD).json() == by_command(wb, capsys, "part", "harrowfen-lantern-36")
    assert client.get(f"{API}/parts").json()["parts"] == by_command(wb, capsys, "parts")["parts"]


def test_a_fact_that_is_noted_answers_what_was_unknown(client: TestClient) -> None:
    def said() -> str:
        builds = {each["build"]: each["answer"] for each in client.get(f"{API}/fit").json()["builds"]}
        return str(builds["dunlin"])

    assert said() == "unknown"
    sent = {"facts": {"height_mm": 128, "short_times": None}, "source": "a ruler"}
    noted = client.post(f"{CARD}/facts", json=sent)
    assert noted.status_code == 200
    facts = {each["fact"]: each for each in noted.json()["facts"]}
    stands = facts["height_mm"]
    assert (stands["value"], stands["source"], stands["on"]) == (128, "a ruler", NOW.date().isoformat())
    assert said() == "fits"


def test_a_mark_far_from_its_kind_is_kept_when_that_is_sure(client: TestClient) -> None:
    sent = {"facts": {"performance:games": 146}, "source": "ours"}
    refused = client.post(f"{CARD}/facts", json=sent)
    assert (refused.status_code, "is that so?" in refused.text) == (422, True)
    assert client.post(f"{CARD}/facts", json=sent | {"sure": True}).status_code == 200


@pytest.mark.parametrize(
    ("sent", "found"),
    [
        ({"facts": {"height_mm": 128}}, "it is not said where they are from"),
        ({"facts": {}, "source": "a ruler"}, "no facts are given"),
        ({"facts": {"height_mm": -1}, "source": "a ruler"}, "cannot be read"),
        ({"facts": {"hight_mm": 128}, "source": "a ruler"}, "no fact of a part of the kind graphics"),
        ({"facts": {"outputs": ["HDMI"]}, "source": "a ruler"}, "outputs is no text"),
        ({"facts": {"height_mm": 128}, "source": "a ruler", "on": "2999-01-01"}, "still to come"),
        ({"facts": {"height_mm": 128}, "source": "a ruler", "day": "x"}, "unknown key 'day'"),
        ([], ""),
    ],
)
def test_what_cannot_be_noted_is_refused_in_words_and_nothing_is_noted(
    client: TestClient, sent: object, found: str
) -> None:
    before = client.get(CARD).json()
    refused = client.post(f"{CARD}/facts", json=sent)
    assert refused.status_code == 422
    assert found in refused.json()["error"]["found"]
    assert refused.json()["error"]["todo"]
    assert client.get(CARD).json() == before


@pytest.mark.parametrize(
    "way", ["/api/studies/nowhere/fit", f"{API}/parts/no-such-part", "/api/studies/x/parts"]
)
def test_what_is_not_there_is_told(client: TestClient, way: str) -> None:
    assert client.get(way).status_code == 404
