"""The description of the interface says in words what each request does."""

from __future__ import annotations

from starlette.testclient import TestClient


def test_every_request_says_what_it_does_and_not_what_its_function_is_called(client: TestClient) -> None:
    paths = client.get("/api/openapi.json").json()["paths"]
    said = {f"{how} {path}": asked for path, ways in paths.items() for how, asked in ways.items()}
    assert said["post /api/runs/{run}/set-aside"]["summary"] == "Leave a run out"
    for where, asked in said.items():
        name = asked["operationId"].partition("_api_")[0].replace("_", " ")
        assert asked["summary"].lower() != name, where
        assert asked["summary"].count(" ") >= 2, where
