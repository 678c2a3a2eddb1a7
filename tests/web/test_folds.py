"""What a reader has opened stays open while the page follows the workbench."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Page, Route
from tests.web.looking import Served

from evenhand.desk.on_record import load_study
from evenhand.store import shelves


@pytest.mark.parametrize("place", ["compare", "brief", "verdict", "money"])
def test_a_fold_that_was_opened_stays_open(page: Page, served: Served, place: str) -> None:
    record = load_study(served.wb, "saltmarsh")
    page.goto(f"{served.url}/studies/saltmarsh/{place}")
    fold = page.locator("main details:not([open])").first
    fold.locator("summary").first.click()
    with page.expect_response(lambda answer: "hx-request" in answer.request.headers):
        shelves.save(served.wb, replace(record.study, title="Told meanwhile"), now=datetime.now(UTC))
    page.wait_for_timeout(1500)
    assert page.locator("main details[open]").count() > 0


def test_a_form_that_is_opened_while_newer_runs_are_on_their_way_stays(page: Page, served: Served) -> None:
    record = load_study(served.wb, "saltmarsh")
    form = page.locator("#runs details.ask").first
    held: list[str] = []

    def late(route: Route) -> None:
        if "hx-request" not in route.request.headers or "/runs" not in route.request.url or held:
            route.continue_()
            return
        held.append(route.request.url)
        answer = route.fetch()
        form.locator("summary").first.click()
        route.fulfill(response=answer)

    page.goto(f"{served.url}/studies/saltmarsh/runs")
    page.wait_for_timeout(500)
    page.route("**/*", late)
    shelves.save(served.wb, replace(record.study, title="Told meanwhile"), now=datetime.now(UTC))
    page.locator("#news").wait_for(state="visible", timeout=10_000)
    assert held
    assert form.evaluate("form => form.open")
