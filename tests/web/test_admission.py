"""This computer may do everything, a device from the network what its token is for, others nothing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import NOW

from evenhand.desk.bench.admitting import admit, shut_out
from evenhand.desk.opening import Desk
from evenhand.records.devices import Device, Scope
from evenhand.web.admission import Pace, Refusal, refusal
from evenhand.web.app import make_app
from evenhand.web.served import OWN_NAMES, Site

HOST = "bench.local"
ELSEWHERE = "192.0.2.7"


def device(scope: Scope) -> Device:
    """A device that may do what its scope says."""
    return Device(
        id="d", name="left bench", scope=scope, token_hash="", made_at=datetime(2031, 5, 4, tzinfo=UTC)
    )


MAY = [
    (Scope.RIG, "PATCH", "/api/uploads/ab12", True),
    (Scope.RIG, "POST", "/api/rig/hello", True),
    (Scope.RIG, "GET", "/studies/saltmarsh/compare", False),
    (Scope.RIG, "POST", "/studies/saltmarsh/runs/r1/keep", False),
    (
        Scope.RIG,
        "GET",
        "/api/uploads/../runs",
        True,
    ),  # the router, not the way it is written, decides what runs
    (Scope.PHONE, "GET", "/studies/saltmarsh/bench", True),
    (Scope.PHONE, "POST", "/studies/saltmarsh/bench/note", True),
    (Scope.PHONE, "POST", "/studies/saltmarsh/brief", False),
    (Scope.PHONE, "PATCH", "/api/uploads/ab12", False),
    (Scope.PHONE, "GET", "/devices", False),
    (Scope.FULL, "POST", "/studies/saltmarsh/brief", True),
    (Scope.FULL, "POST", "/devices", False),
    (Scope.FULL, "GET", "/devices", False),
]


@pytest.mark.parametrize(("scope", "method", "path", "may"), MAY)
def test_a_token_opens_what_its_scope_says(scope: Scope, method: str, path: str, may: bool) -> None:
    found = refusal(method, path, client=ELSEWHERE, token="t", known=lambda _: device(scope))
    assert isinstance(found, str) is may
    if isinstance(found, Refusal):
        assert found.status == 403


def test_this_computer_needs_no_token() -> None:
    assert refusal("POST", "/devices", client="::1", token=None, known=lambda _: None) == "this computer"


def test_a_device_on_this_computer_goes_by_its_own_name_and_may_do_all_the_same() -> None:
    rig = device(Scope.RIG)
    assert refusal("POST", "/devices", client="127.0.0.1", token="t", known=lambda _: rig) == "left bench"
    assert refusal("POST", "/", client="127.0.0.1", token="old", known=lambda _: None) == "this computer"


@pytest.mark.parametrize("path", ["/static/look.css", "/fonts/a.woff2", "/rig/evenhand-rig.pyz", "/join"])
def test_what_holds_no_secret_is_open(path: str) -> None:
    assert isinstance(refusal("GET", path, client=ELSEWHERE, token=None, known=lambda _: None), str)
    assert isinstance(refusal("POST", path, client=ELSEWHERE, token=None, known=lambda _: None), Refusal)


def test_who_asks_too_often_waits_and_others_do_not() -> None:
    seconds = [0.0]
    pace = Pace(burst=2, per_s=0.5, clock=lambda: seconds[0])
    assert [pace.take("a") for _ in range(3)] == [True, True, False]
    assert pace.take("b")
    seconds[0] = 2.0
    assert pace.take("a")
    assert not pace.may("a")


def from_elsewhere(wb: Desk) -> TestClient:
    """Somebody on the local network."""
    site = Site(wb=wb, now=lambda: NOW, hosts=OWN_NAMES | {HOST}, network=(f"http://{HOST}:8517/",))
    return TestClient(make_app(site), base_url=f"http://{HOST}", client=(ELSEWHERE, 50000))


@pytest.fixture
def elsewhere(wb: Desk) -> Iterator[TestClient]:
    with from_elsewhere(wb) as opened:
        yield opened


def test_without_a_link_nothing_is_shown(elsewhere: TestClient) -> None:
    answer = elsewhere.get("/")
    assert answer.status_code == 401
    assert "saltmarsh" not in answer.text.lower()


def test_a_wrong_token_opens_nothing(elsewhere: TestClient) -> None:
    assert elsewhere.get("/", headers={"authorization": "Bearer x"}).status_code == 401
    assert elsewhere.get("/", headers={"cookie": "evenhand-device=\x7f;;="}).status_code == 401


def test_somebody_who_guesses_is_slowed_down(elsewhere: TestClient) -> None:
    answers = [elsewhere.get("/", headers={"authorization": f"Bearer {i}"}).status_code for i in range(12)]
    assert answers[:10] == [401] * 10
    assert answers[-1] == 429


def test_a_device_of_ours_is_not_held_up_by_who_guesses_at_its_address(
    wb: Desk, elsewhere: TestClient
) -> None:
    token = admit(wb, name="phone", scope=Scope.FULL, now=NOW).token
    for i in range(12):
        elsewhere.get("/", headers={"authorization": f"Bearer {i}"} if i % 2 else {})
    assert elsewhere.get("/", headers={"authorization": "Bearer x"}).status_code == 429
    assert elsewhere.get("/", headers={"authorization": f"Bearer {token}"}).status_code == 200
    assert elsewhere.get(f"/join?token={token}").status_code == 429  # who joins is nobody's yet


def test_who_asks_without_end_at_its_address_does_not_hold_up_a_device_that_was_let_in(
    wb: Desk, elsewhere: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    token = admit(wb, name="phone", scope=Scope.FULL, now=NOW).token
    ours = {"authorization": f"Bearer {token}"}
    assert elsewhere.get("/", headers=ours).status_code == 200
    monkeypatch.setattr(Pace, "take", lambda _, who: who != ELSEWHERE)
    assert elsewhere.get("/").status_code == 429
    assert elsewhere.get("/", headers=ours).status_code == 200


def test_a_link_becomes_a_cookie_that_scripts_cannot_read(wb: Desk, elsewhere: TestClient) -> None:
    token = admit(wb, name="phone", scope=Scope.FULL, now=NOW).token
    answer = elsewhere.get(f"/join?token={token}", follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert elsewhere.get("/").status_code == 200


def test_a_link_leads_nowhere_else(wb: Desk, elsewhere: TestClient) -> None:
    token = admit(wb, name="phone", scope=Scope.FULL, now=NOW).token
    for to in ("//evil.example", "https://evil.example"):
        answer = elsewhere.get("/join", params={"token": token, "to": to}, follow_redirects=False)
        assert answer.headers["location"] == "/"


def test_a_link_of_nobody_is_told(elsewhere: TestClient) -> None:
    answer = elsewhere.get("/join?token=x")
    assert answer.status_code == 401
    assert answer.text.count("his link opens nothing") == 1
    # Its stream would be refused, and the page say that a device is shut out which never was let in.
    assert "/static/live.js" not in answer.text


def test_a_device_that_was_shut_out_is_shut_out_at_once(wb: Desk, elsewhere: TestClient) -> None:
    made = admit(wb, name="phone", scope=Scope.FULL, now=NOW)
    headers = {"authorization": f"Bearer {made.token}"}
    assert elsewhere.get("/", headers=headers).status_code == 200
    shut_out(wb, made.device.id, now=NOW)
    assert elsewhere.get("/", headers=headers).status_code == 401


def test_a_header_cannot_say_that_it_is_this_computer(elsewhere: TestClient) -> None:
    headers = {"x-forwarded-for": "127.0.0.1", "forwarded": "for=127.0.0.1"}
    assert elsewhere.get("/", headers=headers).status_code == 401
