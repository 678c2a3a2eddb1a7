"""Strangers are refused, and every answer tells the browser to load nothing from elsewhere."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient


def test_a_name_that_was_pointed_here_from_elsewhere_is_refused(client: TestClient) -> None:
    assert client.get("/", headers={"host": "evil.example:8517"}).status_code == 421


@pytest.mark.parametrize("host", ["127.0.0.1:8517", "localhost", "[::1]:8517"])
def test_this_computers_own_names_are_answered(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [{"origin": "https://evil.example"}, {"sec-fetch-site": "cross-site"}, {"origin": "null"}],
)
def test_another_sites_page_may_change_nothing(client: TestClient, headers: dict[str, str]) -> None:
    assert client.post("/nowhere", headers=headers).status_code == 403


def test_an_own_page_passes(client: TestClient) -> None:
    headers = {"origin": "http://127.0.0.1", "sec-fetch-site": "same-origin"}
    assert client.post("/nowhere", headers=headers).status_code == 404


@pytest.mark.parametrize("path", ["/", "/nowhere", "/static/look.css", "/fonts/evenhand-signs.woff2"])
def test_every_answer_carries_the_policy(client: TestClient, path: str) -> None:
    headers = client.get(path).headers
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"


def test_a_refusal_carries_the_policy_too(client: TestClient) -> None:
    assert "content-security-policy" in client.get("/", headers={"host": "x"}).headers
