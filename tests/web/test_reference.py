"""The interface for programs is described on a page of its own, under the same strict policy as all pages."""

from __future__ import annotations

from playwright.sync_api import Page, expect
from tests.web.looking import Served, sound


def test_it_is_shown_a_request_can_be_tried_and_nobody_else_is_asked(page: Page, served: Served) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{served.url}/api")
    expect(page.get_by_text("/api/uploads/{digest}/land")).to_be_visible(timeout=15_000)
    page.locator("#operations-Runs-studies_api_studies_get .opblock-summary-control").click(timeout=15_000)
    page.get_by_role("button", name="Try it out").click()
    page.get_by_role("button", name="Execute").click()
    expect(page.locator(".live-responses-table tbody .response-col_status")).to_contain_text("200")
    assert [url for url in asked if not url.startswith((served.url, "data:"))] == []


def test_it_has_no_barriers_fits_a_phone_and_leads_back(page: Page, phone: Page, served: Served) -> None:
    for each in (page, phone):
        each.goto(f"{served.url}/api")
        expect(each.get_by_text("/api/uploads/{digest}/land")).to_be_visible(timeout=15_000)
        each.locator("#operations-Runs-studies_api_studies_get .opblock-summary-control").click()
        expect(each.get_by_role("button", name="Try it out")).to_be_visible()
        sound(each)
    page.get_by_role("link", name="Go to the studies").click()
    expect(page).to_have_url(f"{served.url}/")
