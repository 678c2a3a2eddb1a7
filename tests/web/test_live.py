"""A page that is open learns of every change, whoever made it."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import UTC, datetime

import httpx2
from playwright.sync_api import Page, expect
from tests.web.looking import Served

from evenhand.desk.opening import Desk, open_desk
from evenhand.records.builds import Part
from evenhand.store import shelves

PART = Part(key="osk-9", kind="graphics", name="Osk 9")


def put(wb: Desk, name: str) -> None:
    """Somebody stores something."""
    shelves.save(wb, replace(PART, name=name), now=datetime.now(UTC))


def events(served: Served, *, most: int) -> list[str]:
    """The kinds of the first few events of the stream."""
    found: list[str] = []
    with httpx2.stream("GET", f"{served.url}/live", timeout=10) as stream:
        for line in stream.iter_lines():
            if line.startswith("event: "):
                found.append(line.removeprefix("event: "))
            if len(found) == most:
                break
    return found


def test_a_change_of_this_process_is_told(served: Served) -> None:
    later = threading.Timer(0.4, put, (served.wb, "Osk 9 loan"))
    later.start()
    assert events(served, most=2) == ["now", "changed"]
    later.join()


def test_a_change_of_another_process_is_told(served: Served) -> None:
    def elsewhere() -> None:
        with open_desk(served.wb.path) as other:
            put(other, "Osk 9 gift")

    later = threading.Timer(0.4, elsewhere)
    later.start()
    assert events(served, most=2) == ["now", "changed"]
    later.join()


def test_a_page_is_woken(page: Page, served: Served) -> None:
    page.goto(served.url)
    page.evaluate("document.body.addEventListener('changed', () => document.body.dataset.woken = 'yes')")
    page.wait_for_timeout(500)
    put(served.wb, "Osk 9")
    expect(page.locator("body")).to_have_attribute("data-woken", "yes", timeout=5000)
