"""What rigs tell of their machines, on the page of parts: said one by one, noted, shown where it differs."""

from __future__ import annotations

import re
from html import unescape

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide

from evenhand.desk.opening import Desk
from evenhand.store.part_facts import facts_of

PARTS = "/studies/saltmarsh/builds/parts"
CARD = "harrowfen-lantern-40"
HELLO = {
    "version": "1",
    "parts": [
        {"kind": "graphics", "name": "Harrowfen Lantern 40", "source": "/sys", "facts": {"lanes": 16}},
        {"kind": "storage", "name": "Harrowfen Slate 1 TB", "source": "/sys", "facts": {"capacity_gb": 1000}},
        {"kind": "screen", "name": "<b>Fen</b> 27", "source": "/sys", "facts": {"inputs": ["HDMI"]}},
    ],
    "untold": [{"what": "board", "why": "its firmware does not name it"}],
}


def told(client: TestClient) -> str:
    assert client.post("/api/rig/hello", json=HELLO).status_code == 200
    return unescape(client.get(PARTS).text).partition('id="told"')[2]


def ids(text: str) -> list[str]:
    return re.findall(r'name="told" value="([0-9]+-[0-9]+)"', text)


def test_without_any_inventory_it_says_what_to_do(client: TestClient) -> None:
    text = client.get(PARTS).text
    assert "No rig has told of its parts yet." in text
    assert 'href="/devices">Let a rig in</a>' in text


def test_every_told_part_is_asked_about_and_what_is_not_told_is_said(client: TestClient, wb: Desk) -> None:
    before = facts_of(wb, [CARD])
    text = told(client)
    assert "tells of three parts" in text
    assert "three to be said which" in text
    assert "Not noted of Harrowfen Slate 1 TB yet: capacity 1000\u00a0GB" in text
    assert "Board: its firmware does not name it. Note it by hand." in text
    assert "<b>Fen</b>" not in client.get(PARTS).text, "what a rig tells is no markup"
    assert facts_of(wb, [CARD]) == before


def test_a_part_is_said_its_facts_are_noted_and_undone(client: TestClient, wb: Desk) -> None:
    disc = ids(told(client))[1]
    page = client.post(f"{PARTS}/told", data={"told": disc, "part": "harrowfen-slate-1"})
    assert "Noted: capacity" in page.text
    assert "read by the rig this computer on " in page.text
    assert "two to be said which" in client.get(PARTS).text
    client.post(f"{PARTS}/harrowfen-slate-1/facts/undo", data={"noted": page.url.params["noted"]})
    assert facts_of(wb, ["harrowfen-slate-1"])[-1].value is None


def test_what_stands_otherwise_is_shown_beside_and_not_overwritten(client: TestClient, wb: Desk) -> None:
    card = ids(told(client))[0]
    client.post(f"{PARTS}/told", data={"told": card, "part": CARD})
    text = client.get(PARTS).text.partition('id="told"')[2]
    assert "Lanes it uses: 16, but 8 (" in text
    assert f'href="{PARTS}/{CARD}?edit=facts"' in text
    assert {fact.fact: fact.value for fact in facts_of(wb, [CARD])}["lanes"] == 8


def test_none_of_these_settles_it(client: TestClient) -> None:
    screen = ids(told(client))[2]
    client.post(f"{PARTS}/told", data={"told": screen, "none": "yes"})
    assert "none of the workbench’s parts" in client.get(PARTS).text
    assert "two to be said which" in client.get(PARTS).text


@pytest.mark.parametrize(
    "sent", [{"told": "x"}, {}, {"told": "1-99"}, {"told": "9-0"}, {"told": "1-0", "part": "no"}]
)
def test_a_form_in_pieces_is_refused(client: TestClient, sent: dict[str, str]) -> None:
    told(client)
    assert client.post(f"{PARTS}/told", data=sent).status_code in (404, 422)


@pytest.mark.parametrize(
    "part",
    [
        {"kind": "", "name": "x"},
        {"kind": "board", "name": "x" * 300},
        {"kind": "board", "name": "x", "facts": {"a": {"b": 1}}},
        {"kind": "board", "name": "x", "facts": {"a": float(10**12)}},
    ],
)
def test_what_is_no_inventory_is_refused_as_a_whole(client: TestClient, part: dict[str, object]) -> None:
    assert client.post("/api/rig/hello", json={"parts": [part]}).status_code == 422
    assert client.post("/api/rig/hello", json={"parts": [{"kind": "a", "name": "b"}] * 65}).status_code == 422
    assert "No rig has told of its parts yet." in client.get(PARTS).text


@pytest.mark.parametrize("width", [360, 1440])
def test_it_is_in_nobodys_way(served: Served, page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 780})
    assert page.request.post(f"{served.url}/api/rig/hello", data=HELLO).ok
    page.goto(served.url + PARTS)
    assert axe_violations(page) == []
    assert not too_wide(page)
    page.locator(".told-part", has_text="Harrowfen Slate 1 TB").get_by_text("It is this one").click()
    expect(page.locator("#done")).to_contain_text("capacity")
