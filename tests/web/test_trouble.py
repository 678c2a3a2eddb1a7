"""What cannot be used is told in the house's own words and shape, to programs and to people."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor

import pytest
from starlette.testclient import TestClient
from starlette.types import Message
from tests.web.conftest import NOW

from evenhand.desk.bench.admitting import admit
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.web.app import make_app
from evenhand.web.served import OWN_NAMES, Site

PLAN = "/api/studies/saltmarsh/plan"
JSON = {"content-type": "application/json"}
FRAMEWORK = ("input should", "field required", "json decode", "parsing the body", "not permitted", "detail")

SENT = (
    (b'{"looks": [3,', "what was sent is no whole JSON", "body, at character 14"),
    (b"\xff\xfe", "what was sent is no whole JSON", "body, at character 1"),
    (b"", "this is missing", "body"),
    (b"[]", "this is no table of fields", "body"),
    (b"null", "this is no table of fields", "body"),
    (b'{"looks": "x"}', "this is no list", "looks"),
    (b'{"looks": []}', "these are too few: at least 1", "looks"),
    (b'{"looks": [1e400]}', "this number has no end", "looks.0"),
    (b'{"at_once": 1.5}', "this is no whole number", "at_once"),
    (b'{"at_once": 9}', "this must be 8 or less", "at_once"),
    (b'{"warm_up": "long"}', "this is no number", "warm_up"),
    (b'{"only_shown": "perhaps"}', "this is neither true nor false", "only_shown"),
    (b'{"nope": 1}', "nothing is known by this name", "nope"),
)


@pytest.mark.parametrize(("body", "found", "where"), SENT)
def test_a_body_that_cannot_be_used_is_told_by_what_and_where(
    client: TestClient, body: bytes, found: str, where: str
) -> None:
    answer = client.post(PLAN, content=body, headers=JSON)
    assert answer.status_code == 422
    error = answer.json()["error"]
    assert (error["kind"], error["found"], error["where"]) == ("BadRecord", found, where)
    assert error["todo"]
    assert not [words for words in FRAMEWORK if words in answer.text.lower()]


def test_what_cannot_be_read_at_all_is_told_likewise(client: TestClient) -> None:
    answer = client.post(PLAN, content=b"[" * 5000, headers=JSON)
    assert answer.status_code == 400
    assert answer.json()["error"]["found"] == "What was sent cannot be read at all."
    assert answer.json()["error"]["todo"] == "see what is expected at /api"


def test_one_of_a_fixed_list_names_the_list(client: TestClient) -> None:
    answer = client.post("/api/runs/any/set-aside", json={"reason": "nope"}).json()["error"]
    assert answer["found"].startswith("this must be one of 'rate-cap', ")
    assert answer["where"] == "reason"


def test_a_page_tells_it_as_a_page(client: TestClient) -> None:
    answer = client.get("/inbox?done=abc")
    assert answer.status_code == 422
    assert "This is no whole number" in answer.text
    assert "Input should" not in answer.text


def test_a_page_of_trouble_says_once_what_was_found(client: TestClient) -> None:
    page = client.get("/studies/nowhere/runs").text
    found = page.partition('<h1 class="answer">')[2].partition("</h1>")[0]
    assert found
    assert page.count(found) == 1
    assert "/static/live.js" in page


def test_the_description_knows_no_other_shape(client: TestClient) -> None:
    told = client.get("/api/openapi.json").json()
    refused = {"$ref": "#/components/schemas/Refused"}
    posted = told["paths"]["/api/studies/{study}/plan"]["post"]["responses"]
    for status in ("400", "422"):
        assert posted[status]["content"]["application/json"]["schema"] == refused
    assert "HTTPValidationError" not in told["components"]["schemas"]


def test_who_leaves_in_the_middle_of_a_form_is_no_trouble_of_ours(client: TestClient) -> None:
    """A trouble of ours would be raised again here, and told on the terminal in full."""

    async def gone() -> Message:
        return {"type": "http.disconnect"}

    sent: list[Message] = []

    async def keep(message: Message) -> None:
        sent.append(message)

    kind = (b"content-type", b"application/x-www-form-urlencoded")
    scope = {
        "type": "http", "method": "POST", "path": "/studies/saltmarsh/bench/note", "query_string": b"",
        "headers": [(b"host", b"127.0.0.1"), kind], "client": ("127.0.0.1", 50000),
    }  # fmt: skip
    # In a thread of its own: a browser of another test keeps a loop running in this one.
    with ThreadPoolExecutor(1) as apart:
        apart.submit(lambda: asyncio.run(client.app(scope, gone, keep))).result()
    assert sent[0]["status"] == 400


def test_only_this_computer_is_told_where_the_workbench_lies(wb: Desk) -> None:
    """A path names the user and the folders of the host."""
    site = Site(wb=wb, now=lambda: NOW, hosts=OWN_NAMES | {"bench.local"}, network=("http://bench.local/",))
    token = admit(wb, name="phone", scope=Scope.FULL, now=NOW).token
    ways = ("/studies/nope/bench", "/studies/saltmarsh/runs/nope", "/photos/999", "/api/studies/nope/runs")
    with (
        TestClient(make_app(site), base_url="http://127.0.0.1", client=("127.0.0.1", 50000)) as here,
        TestClient(make_app(site), base_url="http://bench.local", client=("192.0.2.7", 50000)) as there,
    ):
        for way in ways:
            told = there.get(way, headers={"authorization": f"Bearer {token}"})
            assert (told.status_code, here.get(way).status_code) == (404, 404), way
            assert str(wb.path.parent) not in told.text, way
        assert str(wb.path) in here.get("/studies/nope/bench").text
