"""A page that is open learns of every change, whoever made it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import httpx2
import pytest
from playwright.sync_api import Page, Request, Route, expect
from tests.web.looking import Served

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk
from evenhand.records.builds import Part
from evenhand.store import shelves

PART = Part(key="osk-9", kind="graphics", name="Osk 9")


def put(wb: Desk, name: str) -> None:
    """Somebody stores something."""
    shelves.save(wb, replace(PART, name=name), now=datetime.now(UTC))


def events_around(served: Served, change: Callable[[], None]) -> list[str]:
    """The kinds of the stream's first events; once the first has come, something is changed."""
    found: list[str] = []
    with httpx2.stream("GET", f"{served.url}/live", timeout=10) as stream:
        for line in stream.iter_lines():
            if not line.startswith("event: "):
                continue
            found.append(line.removeprefix("event: "))
            if len(found) == 2:
                break
            change()
    return found


def test_a_change_of_this_process_is_told(served: Served) -> None:
    assert events_around(served, lambda: put(served.wb, "Osk 9 loan")) == ["now", "changed"]


def test_a_change_of_another_process_is_told(served: Served) -> None:
    def elsewhere() -> None:
        with open_desk(served.wb.path) as other:
            put(other, "Osk 9 gift")

    assert events_around(served, elsewhere) == ["now", "changed"]


def test_a_page_is_woken(page: Page, served: Served) -> None:
    page.goto(served.url)
    page.evaluate("document.body.addEventListener('changed', () => document.body.dataset.woken = 'yes')")
    page.wait_for_timeout(500)
    put(served.wb, "Osk 9")
    expect(page.locator("body")).to_have_attribute("data-woken", "yes")


def test_what_changes_while_a_part_is_asked_for_is_shown_all_the_same(page: Page, served: Served) -> None:
    """The first answer is held back until a second change was told: it must not stay on the page."""
    record = load_study(served.wb, "saltmarsh")
    held: list[str] = []

    def late(route: Route) -> None:
        if held or "hx-request" not in route.request.headers:
            route.continue_()
            return
        held.append(route.request.url)
        answer = route.fetch()
        shelves.save(served.wb, replace(record.study, title="Told second"), now=datetime.now(UTC))
        page.wait_for_timeout(300)  # the second change is told, within the time in which changes are gathered
        route.fulfill(response=answer)

    page.goto(served.url)
    page.wait_for_timeout(500)
    page.route("**/*", late)
    shelves.save(served.wb, replace(record.study, title="Told first"), now=datetime.now(UTC))
    expect(page.locator("body")).to_contain_text("Told second")
    assert held


@pytest.mark.parametrize("shared", [True, False])
def test_what_changes_before_the_stream_is_open_is_shown_all_the_same(
    page: Page, served: Served, shared: bool
) -> None:
    record = load_study(served.wb, "saltmarsh")

    def late(route: Route) -> None:
        shelves.save(served.wb, replace(record.study, title="Told early"), now=datetime.now(UTC))
        page.wait_for_timeout(700)  # the watch has long seen it
        route.continue_()

    if not shared:
        page.add_init_script(ALONE)
    page.route("**/static/stream.js", late)
    page.goto(f"{served.url}/studies/saltmarsh/brief")
    expect(page.locator("body")).to_contain_text("Told early")


ALONE = "delete window.SharedWorker"
SILENT = "window.SharedWorker = class extends EventTarget { port = new MessageChannel().port1 }"


REFUSED = """window.SharedWorker = class extends EventTarget {
  constructor() {
    super();
    const { port1, port2 } = new MessageChannel();
    this.port = port1;
    port2.onmessage = ({ data }) => data === "open" && port2.postMessage({ kind: "refused" });
  }
}"""


@pytest.mark.parametrize("browser_has", [ALONE, SILENT, REFUSED])
def test_a_browser_without_shared_workers_has_a_stream_for_each_page(
    page: Page, served: Served, browser_has: str
) -> None:
    page.add_init_script(browser_has)
    with page.expect_request(lambda asked: asked.url.endswith("/live") and asked.method == "GET"):
        page.goto(served.url)
    page.evaluate("document.body.addEventListener('changed', () => document.body.dataset.woken = 'yes')")
    page.wait_for_timeout(500)
    put(served.wb, "Osk 9")
    expect(page.locator("body")).to_have_attribute("data-woken", "yes")


def test_any_number_of_windows_of_a_browser_share_one_stream(page: Page, served: Served) -> None:
    """A browser keeps six connections open to one place: the seventh page would wait for ever."""
    windows = [page, *(page.context.new_page() for _ in range(7))]
    for window in windows:
        window.goto(f"{served.url}/devices", timeout=10_000)
        window.evaluate("document.body.addEventListener('changed', () => document.body.dataset.woken = '1')")
    windows[0].wait_for_timeout(500)
    put(served.wb, "Osk 9")
    for window in windows:
        expect(window.locator("body")).to_have_attribute("data-woken", "1")
    windows[7].close()  # the others go on
    windows[1].evaluate("delete document.body.dataset.woken")
    put(served.wb, "Osk 10")
    expect(windows[1].locator("body")).to_have_attribute("data-woken", "1")


def asked_anew(page: Page) -> list[str]:
    """What the page asks for by itself from now on."""
    asked: list[str] = []

    def note(request: Request) -> None:
        if "hx-request" in request.headers:
            asked.append(request.url)

    page.on("request", note)
    return asked


def test_a_page_that_nothing_happened_to_asks_for_nothing(page: Page, served: Served) -> None:
    asked = asked_anew(page)
    page.goto(f"{served.url}/studies/saltmarsh/brief")
    page.wait_for_timeout(1500)
    assert asked == []


def test_a_page_is_not_told_again_of_what_it_shows_already(page: Page, served: Served) -> None:
    """The watch sees a change up to a quarter of a second after the page that was read behind it."""
    asked = asked_anew(page)
    for number in range(5):
        page.goto("about:blank")  # the page before has to be told
        put(served.wb, f"Osk {number}")
        page.goto(f"{served.url}/studies/saltmarsh/brief")
        page.wait_for_timeout(600)
    assert asked == []


def test_a_part_that_is_fetched_leaves_the_tab_its_title_however_late_the_scripts_come(
    page: Page, served: Served
) -> None:
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/static/live.js", hold)
    page.goto(f"{served.url}/studies/saltmarsh/bench", wait_until="commit")
    page.wait_for_timeout(1000)  # in which the part would have come
    (late,) = held
    late.continue_()
    expect(page.locator("#watched[hx-trigger=load]")).to_have_count(0)
    assert page.title().startswith("Bench · ")
