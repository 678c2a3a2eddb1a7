"""The first page: studies with what stands and what is next, and an empty workbench that leads on."""

from __future__ import annotations

from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide


def test_a_study_is_listed_with_what_stands_and_what_is_next(client: TestClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert "One study is on this workbench." in page.text
    assert "runs count" in page.text
    assert 'href="/studies/saltmarsh/runs"' in page.text


def test_an_empty_workbench_says_how_to_begin(empty_client: TestClient) -> None:
    assert "This workbench is empty." in empty_client.get("/").text


def test_an_address_that_is_none_is_told_in_words(client: TestClient) -> None:
    page = client.get("/nowhere")
    assert page.status_code == 404
    assert "There is no such page." in page.text


def test_it_is_sound_in_a_browser(page: Page, served: Served) -> None:
    page.goto(served.url)
    expect(page.get_by_role("heading", level=1)).to_contain_text("One study")
    assert axe_violations(page) == []


def test_it_fits_a_phone(phone: Page, served: Served) -> None:
    phone.goto(served.url)
    assert axe_violations(phone) == []
    assert not too_wide(phone)
