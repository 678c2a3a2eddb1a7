"""A device that is not let in, or not any more, is told so in a page, and on the page that it has open."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide

from evenhand.desk.bench.admitting import admit, shut_out
from evenhand.records.devices import Scope
from evenhand.web import admission, guard, reach

BROWSER = {"accept": "text/html,application/xhtml+xml"}


def test_a_browser_that_is_not_let_in_is_told_what_to_do(client: TestClient) -> None:
    stranger = TestClient(client.app, base_url="http://127.0.0.1", client=("192.0.2.7", 50000))
    told = stranger.get("/", headers=BROWSER)
    assert told.status_code == 401
    assert 'name="viewport"' in told.text
    assert "open <em>Devices</em>, let this device in" in told.text
    assert "<script" not in told.text
    assert "altmarsh" not in told.text
    assert stranger.get("/").text == "This needs a link from the workbench.\n"  # a program's form


def test_a_phone_that_is_shut_out_is_told_on_its_open_page(
    browser: Browser, served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in (admission, guard, reach):
        monkeypatch.setattr(module, "LOOPBACK", frozenset())
    made = admit(served.wb, name="left phone", scope=Scope.PHONE, now=datetime.now(UTC))
    context = browser.new_context(viewport={"width": 390, "height": 844}, is_mobile=True, has_touch=True)
    phone = context.new_page()
    phone.goto(f"{served.url}/join?token={made.token}")
    bench = phone.locator("h1").inner_text()
    phone.wait_for_timeout(500)
    shut_out(served.wb, made.device.id, now=datetime.now(UTC))
    expect(phone.locator(".refused")).to_contain_text("not let in any more", timeout=10_000)
    expect(phone.locator("h1")).to_have_text(bench)  # what was read or typed stays
    assert not axe_violations(phone)
    phone.reload()
    expect(phone.locator("h1")).to_have_text("This token opens nothing here.")
    assert not too_wide(phone)
    context.close()
