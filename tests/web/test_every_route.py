"""What must hold for every route there is: new ones are walked with the others."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.desk.small_folder import changed_tables, everything
from tests.web.conftest import NOW

from evenhand.desk.bench.admitting import admit
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.web.admission import Pace
from evenhand.web.app import ROUTERS, make_app
from evenhand.web.served import OWN_NAMES, Site

HOST = "bench.local"
UNSAFE = {"POST", "PUT", "PATCH", "DELETE"}
OPEN = {"/join", "/rig/evenhand-rig.pyz"}

# What a token opens, in the words of the routes themselves; whatever is added must be put here on purpose.
RIG = re.compile(r"/api/(uploads|rig)/.*")
PHONE = re.compile(
    r"/|/live|/photos/.*|/studies/\{study\}/(bench|runs|compare)(/.*)?|/studies/\{study\}/(strip|away)|/api/runs/.*"
    r"|/studies/\{study\}/builds/\{build\}/photos(/.*)?"
)
PHONE_WRITES = re.compile(r"/studies/\{study\}/(bench|runs|builds/\{build\}/photos)(/.*)?")
NEVER_FULL = re.compile(r"/(devices|rig)(/.*)?")


def walk() -> Iterator[tuple[str, str]]:
    """Every way of asking for every address."""
    for router in ROUTERS:
        for route in router.routes:
            told: Any = route
            for method in sorted(told.methods):
                yield method, told.path


def filled(path: str) -> str:
    """An address of this shape."""
    return re.sub(r"\{(\w+)(:\w+)?\}", "1", path)


ROUTES = sorted(set(walk()))
WRITES = [(method, path) for method, path in ROUTES if method in UNSAFE]


@pytest.fixture
def own(wb: Desk) -> Iterator[TestClient]:
    """This computer, with errors told and not raised."""
    app = make_app(Site(wb=wb, now=lambda: NOW))
    with TestClient(
        app, base_url="http://127.0.0.1", client=("127.0.0.1", 50000), raise_server_exceptions=False
    ) as opened:
        yield opened


@pytest.fixture
def elsewhere(wb: Desk, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """Somebody on the local network, whose pace is not looked at here."""
    site = Site(wb=wb, now=lambda: NOW, hosts=OWN_NAMES | {HOST}, network=(f"http://{HOST}:8517/",))
    monkeypatch.setattr(Pace, "take", lambda *_: True)
    monkeypatch.setattr(Pace, "may", lambda *_: True)
    with TestClient(make_app(site), base_url=f"http://{HOST}", client=("192.0.2.7", 50000)) as opened:
        yield opened


def test_there_are_routes_to_walk() -> None:
    assert len(ROUTES) > 60
    assert len(WRITES) > 30


def test_no_page_of_another_site_changes_anything(own: TestClient) -> None:
    foreign = [
        {"origin": "https://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ]
    let_through = [
        (method, path, headers)
        for method, path in WRITES
        for headers in foreign
        if own.request(method, filled(path), headers=headers).status_code != 403
    ]
    assert let_through == []


def test_no_name_that_was_pointed_here_is_answered(own: TestClient) -> None:
    headers = {"host": "rebound.example"}
    answered = [
        (method, path)
        for method, path in ROUTES
        if own.request(method, filled(path), headers=headers).status_code != 421
    ]
    assert answered == []


@pytest.mark.parametrize("headers", [{}, {"authorization": "Bearer guessed"}])
def test_a_stranger_of_the_network_gets_nowhere(elsewhere: TestClient, headers: dict[str, str]) -> None:
    let_in = [
        (method, path)
        for method, path in ROUTES
        if path not in OPEN and elsewhere.request(method, filled(path), headers=headers).status_code != 401
    ]
    assert let_in == []


def opened(wb: Desk, elsewhere: TestClient, scope: Scope) -> set[tuple[str, str]]:
    """The routes that a token of this scope is let through to."""
    token = admit(wb, name="device", scope=scope, now=NOW).token
    headers = {"authorization": f"Bearer {token}"}
    found = set()
    for method, path in ROUTES:
        if path in (*OPEN, "/live"):
            continue
        if elsewhere.request(method, filled(path), headers=headers, content=b"").status_code != 403:
            found.add((method, path))
    return found


def test_a_rigs_token_opens_its_own_routes_alone(wb: Desk, elsewhere: TestClient) -> None:
    found = opened(wb, elsewhere, Scope.RIG)
    assert {path for _, path in found if not RIG.fullmatch(path)} == set()
    assert ("PATCH", "/api/uploads/{digest}") in found


def test_a_phones_token_opens_bench_and_runs_alone(wb: Desk, elsewhere: TestClient) -> None:
    found = opened(wb, elsewhere, Scope.PHONE)
    assert {path for _, path in found if not PHONE.fullmatch(path)} == set()
    assert {path for method, path in found if method in UNSAFE and not PHONE_WRITES.fullmatch(path)} == set()
    assert ("POST", "/studies/{study}/bench/decide") in found


def test_no_token_of_the_network_lets_others_in(wb: Desk, elsewhere: TestClient) -> None:
    found = opened(wb, elsewhere, Scope.FULL)
    assert {path for _, path in found if NEVER_FULL.fullmatch(path)} == set()
    assert ("PUT", "/api/studies/{study}") in found


def test_nothing_that_is_asked_for_in_vain_breaks(own: TestClient) -> None:
    broken = [
        (method, path)
        for method, path in ROUTES
        if path != "/live" and own.request(method, filled(path), content=b"").status_code >= 500
    ]
    assert broken == []


def test_reading_changes_nothing(wb: Desk, own: TestClient) -> None:
    before = everything(wb.path)
    for method, path in ROUTES:
        if method == "GET" and path != "/live":
            own.request(method, filled(path).replace("/studies/1", "/studies/saltmarsh"))
    assert changed_tables(before, everything(wb.path)) == set()
