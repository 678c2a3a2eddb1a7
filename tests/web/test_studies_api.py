"""Programs read and put a study's tables in the shape of the study file."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.once import once
from tests.web.conftest import client_of

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk, present
from evenhand.desk.runs.cutting import cut_test
from evenhand.records.windows import Window

DESKS = "/api/studies/desks"
TABLES: tuple[tuple[str, dict[str, Any]], ...] = (
    (DESKS, {"title": "Two desks", "question": "Which one?", "margin": 0.02}),
    (f"{DESKS}/parts/k6", {"kind": "processor", "name": "Brellow K6"}),
    (f"{DESKS}/builds/wren", {"name": "Wren", "slot": 1, "parts": ["k6"]}),
    (f"{DESKS}/setups/wren-stock", {"build": "wren", "stamps": {"driver": "31.4"}}),
    (
        f"{DESKS}/tests/causeway",
        {"name": "Causeway", "measures": "frames", "metric": "low_1pct", "minutes": 4.0},
    ),
)


@pytest.fixture
def desks(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A workbench with a study that was put table by table."""
    shutil.copy(once(tmp_path_factory, "desks", put_all) / "bench.evenhand", tmp_path)
    with open_desk(tmp_path / "bench.evenhand") as wb, client_of(wb) as opened:
        yield opened


def put_all(place: Path) -> None:
    with open_desk(place / "bench.evenhand") as wb, client_of(wb) as client:
        for path, table in TABLES:
            answer = client.put(path, json=table)
            assert answer.status_code == 200, answer.text
            assert answer.json()["change"] > 0


def test_what_was_put_is_read(desks: TestClient) -> None:
    found = desks.get(DESKS).json()
    assert found["study"]["setups"] == ["wren-stock"]
    assert found["study"]["tests"] == ["causeway"]
    assert found["study"]["margin"] == 0.02
    assert found["builds"][0]["parts"] == ["k6"]
    assert found["tests"][0]["unit"] == "fps"


def test_what_was_read_can_be_put_and_is_no_change(desks: TestClient) -> None:
    found = desks.get(DESKS).json()
    assert desks.put(DESKS, json=found["study"]).json()["change"] == 0
    for table in ("parts", "builds", "setups", "tests"):
        for each in found[table]:
            answer = desks.put(f"{DESKS}/{table}/{each['key']}", json=each)
            assert answer.json() == {"key": each["key"], "change": 0}, table


def test_a_table_is_put_whole(desks: TestClient) -> None:
    path = f"{DESKS}/tests/causeway"
    desks.put(path, json={"name": "Causeway", "measures": "frames", "metric": "average_fps"})
    [test] = desks.get(DESKS).json()["tests"]
    assert (test["metric"], "minutes" in test) == ("average_fps", False)


@pytest.mark.parametrize(
    ("path", "table", "where"),
    [
        (DESKS, {"title": "Two", "margin": 3.0}, "margin"),
        (DESKS, {"title": "Two", "key": "other"}, "key"),
        (DESKS, [], "desks"),
        (f"{DESKS}/tests/x", {"name": "X", "measures": "score"}, "unit, direction"),
        (f"{DESKS}/builds/plover", {"name": "Plover", "slot": 1}, "slot"),
        (f"{DESKS}/setups/x", {"build": "wrem"}, "build"),
        (f"{DESKS}/parts/x", {"kind": "board", "name": "X", "nam": "Y"}, "nam"),
        (f"{DESKS}/parts/-x", {"kind": "board", "name": "X"}, "key"),
    ],
)
def test_a_refusal_names_the_field(desks: TestClient, path: str, table: Any, where: str) -> None:
    answer = desks.put(path, json=table)
    assert answer.status_code == 422
    assert answer.json()["error"]["where"] == where


def test_what_is_dropped_stays_on_record(desks: TestClient) -> None:
    assert desks.delete(f"{DESKS}/tests/causeway").status_code == 200
    assert desks.delete(f"{DESKS}/setups/wren-stock").status_code == 200
    assert desks.get(DESKS).json()["study"]["tests"] == []
    table = {"name": "Causeway", "measures": "frames", "metric": "low_1pct", "minutes": 4.0}
    assert desks.put(f"{DESKS}/tests/causeway", json=table).json()["change"] > 0
    assert desks.get(DESKS).json()["study"]["tests"] == ["causeway"]


def test_an_unknown_study_is_not_made_by_its_tests(desks: TestClient) -> None:
    answer = desks.put("/api/studies/dess/parts/x", json={"kind": "board", "name": "X"})
    assert answer.status_code == 404
    assert "did you mean 'desks'?" in answer.json()["error"]["todo"]


def test_the_tables_are_described(empty: Desk) -> None:
    with client_of(empty) as client:
        paths = client.get("/api/openapi.json").json()["paths"]
    body = paths["/api/studies/{study}/tests/{key}"]["put"]["requestBody"]["content"]["application/json"]
    schema = body["schema"]
    measures, nothing = schema["properties"]["measures"]["anyOf"]
    assert (measures["enum"], nothing) == (["frames", "score"], {"type": "null"})
    assert schema["description"] == "A new one needs: name, measures."
    assert "key" not in schema["properties"]
    assert "$ref" not in str(schema)


def test_a_test_that_is_put_without_a_word_of_its_window_keeps_it(client: TestClient, wb: Desk) -> None:
    test = load_study(wb, "saltmarsh").tests["regatta"]
    cut_test(wb, test.key, Window(start_s=5.0), now=present())
    table = {"name": test.name, "measures": "frames", "metric": test.metric}
    where = f"/api/studies/saltmarsh/tests/{test.key}"
    assert client.put(where, json=table).status_code == 200
    assert load_study(wb, "saltmarsh").tests["regatta"].window == Window(start_s=5.0)
    assert client.put(where, json={**table, "window": None}).status_code == 200
    assert load_study(wb, "saltmarsh").tests["regatta"].window is None
