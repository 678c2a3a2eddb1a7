"""Runs and decisions for programs: the shapes of docs/formats-json.md, described in OpenAPI."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from evenhand.desk.answers import run_answer
from evenhand.desk.bench.masking import masked_id
from evenhand.desk.opening import Desk
from evenhand.desk.runs.deciding import find_run, run_history
from evenhand.records.runs import Reason, RunState

CAPPED, COPY = "Plover, Hollow Regatta 3", "tramlines-final-2"


def place(wb: Desk, label: str = CAPPED) -> str:
    return f"/api/runs/{find_run(wb, label).run.id}"


def test_studies_and_their_runs(client: TestClient, wb: Desk) -> None:
    (study,) = client.get("/api/studies").json()["studies"]
    assert (study["study"], study["runs"], study["in_doubt"]) == ("saltmarsh", 158, 5)
    runs = client.get("/api/studies/saltmarsh/runs").json()["runs"]
    assert len(runs) == 158
    waiting = client.get("/api/studies/saltmarsh/runs?in_doubt=true").json()["runs"]
    assert run_answer(find_run(wb, CAPPED)) in waiting
    assert len(waiting) == 5


def test_runs_with_names_hidden(client: TestClient) -> None:
    answer = client.get("/api/studies/saltmarsh/runs?masked=true&in_doubt=true")
    assert {run["setup"] for run in answer.json()["runs"]} <= {"A", "B", "C", "D", "E"}
    assert "Plover" not in answer.text


def test_one_run_with_its_past_and_its_sight(client: TestClient, wb: Desk) -> None:
    answer = client.get(place(wb)).json()
    assert (answer["state"], answer["decisions"], answer["study"]) == ("in doubt", [], "saltmarsh")
    assert answer["definitions"]["average_fps"]["unit"] == "fps"
    assert client.get("/api/runs/nobody").json()["error"]["kind"] == "NotFound"


def test_decisions_are_made_and_taken_back(client: TestClient, wb: Desk) -> None:
    seen = client.get(place(wb)).json()["sight"]
    told = client.post(f"{place(wb)}/set-aside", json={"reason": "rate-cap", "note": "limiter", "seen": seen})
    assert told.json()["run"]["state"] == "set aside"
    late = client.post(f"{place(wb)}/keep", json={"seen": seen})
    assert (late.status_code, late.json()["error"]["kind"]) == (409, "Overtaken")
    assert client.post(f"{place(wb)}/reopen", json={}).json()["run"]["state"] == "in doubt"
    other = find_run(wb, "Plover, Hollow Regatta 4").run.id
    assert client.post(f"{place(wb)}/replace", json={"by": other}).json()["run"]["state"] == "replaced"
    assert len(run_history(wb, CAPPED).decisions) == 3


def test_a_decision_with_names_hidden(client: TestClient, wb: Desk) -> None:
    code = masked_id(find_run(wb, CAPPED).run.id)
    answer = client.post(f"/api/runs/{code}/keep", json={"masked": True})
    assert answer.json()["run"]["id"] == code
    assert "Plover" not in answer.text
    assert find_run(wb, CAPPED).state is RunState.KEPT


@pytest.mark.parametrize(
    ("verb", "sent"),
    [
        ("set-aside", {}),
        ("set-aside", {"reason": "because"}),
        ("set-aside", {"reason": "other"}),
        ("keep", {"reason": "rate-cap"}),
        ("keep", {"note": "x" * 2001}),
        ("keep", []),
        ("replace", {}),
        ("reopen", {}),
    ],
)
def test_what_cannot_be_used_is_refused_and_nothing_stored(
    client: TestClient, wb: Desk, verb: str, sent: Any
) -> None:
    assert client.post(f"{place(wb, COPY)}/{verb}", json=sent).status_code == 422
    assert run_history(wb, COPY).decisions == ()


def test_a_trace_holds_every_extreme_however_it_is_thinned(client: TestClient, wb: Desk) -> None:
    fine, coarse = (client.get(f"{place(wb)}/trace?columns={n}").json() for n in (4000, 50))
    longest = 1000 / find_run(wb, CAPPED).metrics.values["minimum_fps"]
    for answer in (fine, coarse):
        assert max(ms for ms in answer["high_ms"] if ms is not None) == pytest.approx(longest)
        assert len(answer["time_s"]) == len(answer["low_ms"]) == len(answer["siblings_high_ms"])
    assert (len(coarse["time_s"]), coarse["siblings"]) == (50, 4)
    assert {place["kind"] for place in coarse["places"]} == {"rate-cap"}
    assert "Processor clock" in [sensor["words"] for sensor in coarse["sensors"]]


def test_a_part_of_a_trace_and_a_part_that_is_none(client: TestClient, wb: Desk) -> None:
    part = client.get(f"{place(wb)}/trace?from_s=10&to_s=20&columns=100").json()
    assert (min(part["time_s"]) > 10, max(part["time_s"]) < 20, part["sensors"]) == (True, True, [])
    assert client.get(f"{place(wb)}/trace?from_s=99&to_s=100").status_code == 422
    assert client.get(f"{place(wb)}/trace?from_s=nan").status_code == 422
    assert client.get(f"{place(wb, 'Wren, Timeline export 1')}/trace").status_code == 404


def test_every_way_is_described(client: TestClient) -> None:
    paths = client.get("/api/openapi.json").json()["paths"]
    for verb in ("keep", "set-aside", "replace", "reopen"):
        asked = paths[f"/api/runs/{{run}}/{verb}"]["post"]
        assert asked["description"]
        assert {"404", "409", "422"} <= set(asked["responses"])
    schema = client.get("/api/openapi.json").json()["components"]["schemas"]
    assert schema["Reason"]["enum"] == [reason.value for reason in Reason]


def test_the_page_on_this_explains_every_key_of_a_trace(client: TestClient, wb: Desk) -> None:
    page = (Path(__file__).parents[2] / "docs" / "formats-http-runs.md").read_text(encoding="utf-8")
    answer = client.get(f"{place(wb)}/trace?columns=20").json()
    keys = {*answer, *answer["places"][0], *answer["sensors"][0]}
    assert {key for key in keys if f"`{key}`" not in page} == set()


# --- measured windows


def test_a_window_is_looked_at_cut_and_taken_back(client: TestClient, wb: Desk) -> None:
    where = place(wb, "Plover, Hollow Regatta 2") + "/window"
    before = client.get(where).json()
    assert (before["window"], before["alone"]) == (None, False)
    looked = client.get(f"{where}/preview", params={"start_s": 5, "end_s": 45}).json()
    assert (looked["change"], len(looked["runs"]), looked["unfit"]) == (None, 15, {})
    cut = client.post(where, json={"start_s": 5, "end_s": 45, "reason": "it loads", "seen": before["seen"]})
    assert {**cut.json(), "change": None, "window": None} == {**looked, "window": None}
    assert client.get(where).json()["window"]["reason"] == "it loads"
    late = client.post(where, json={"start_s": 6, "seen": before["seen"]})
    assert (late.status_code, late.json()["error"]["kind"]) == (409, "Overtaken")
    assert client.post(f"{where}/undo", json={"change": cut.json()["change"]}).json()["runs"] == 15
    assert client.get(where).json()["window"] is None


@pytest.mark.parametrize(
    "sent", [{"start_s": 900}, {"start_s": 5, "end_s": 5}, {"end_s": 40, "alone": True}, {"end_s": -1}]
)
def test_a_window_that_cannot_stand_is_refused(client: TestClient, wb: Desk, sent: dict[str, Any]) -> None:
    where = place(wb, "Plover, Hollow Regatta 2") + "/window"
    assert client.post(where, json=sent).status_code == 422
    assert client.get(where).json()["window"] is None
