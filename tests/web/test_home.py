"""The first page: every study with its answer and what is next, or three ways to begin."""

from __future__ import annotations

import time
from datetime import datetime
from threading import Event

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide

from evenhand.store.workbench import Workbench
from evenhand.web import work
from evenhand.web.pages import example
from evenhand.web.work import Watch


def ended(web: TestClient) -> str:
    """The example's page, once its making has ended."""
    web.app.state.works.of("example").wait(60)  # type: ignore[attr-defined]
    return web.get("/example").text


def test_a_study_is_listed_with_its_answer_what_stands_and_what_is_next(client: TestClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert "One study waits for you." in page.text
    assert "Plover ahead in four, Dunlin in three, two level." in page.text
    assert "153 of 158 runs count. Five wait for a decision." in page.text
    assert 'href="/studies/saltmarsh/runs"' in page.text
    assert 'class="bar hol"' in page.text


def test_an_empty_workbench_has_three_ways_to_begin(empty_client: TestClient) -> None:
    page = empty_client.get("/").text
    assert "Nothing measured yet." in page
    assert 'href="/studies/new"' in page
    assert "evenhand import FOLDER" in page
    assert "Make the Saltmarsh example" in page


def test_the_example_is_made_here_with_its_progress_told(empty_client: TestClient) -> None:
    shown = empty_client.post("/example")
    assert "The example is being made" in shown.text or "The example is here" in shown.text
    until = time.monotonic() + 120
    while "The example is here" not in empty_client.get("/example").text:
        assert time.monotonic() < until
        time.sleep(0.2)
    assert "158 runs, nine tests" in empty_client.get("/").text


def test_making_it_may_be_stopped_and_gone_on_with(empty_client: TestClient) -> None:
    empty_client.post("/example")
    empty_client.post("/example/stop")
    stopped = ended(empty_client)
    assert "Stopped." in stopped
    assert "Make" in stopped


def test_work_that_is_at_a_long_step_is_said_to_stop_after_it(
    empty_client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    step = Event()

    def long(wb: Workbench, *, now: datetime, watch: Watch) -> str:
        watch(1, 9, "reading logs")
        step.wait(60)
        watch(2, 9, "reading logs")
        return "never reached"

    monkeypatch.setattr(example, "make_example", long)
    monkeypatch.setattr(work, "STEP_S", 0.0)
    assert '<button class="btn">Stop</button>' in empty_client.post("/example").text
    stopping = empty_client.post("/example/stop").text
    assert "Stopping: it ends at its next step." in stopping
    assert ">Stop</button>" not in stopping
    step.set()
    assert "Stopped." in ended(empty_client)


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


def test_the_empty_one_is_sound_in_the_dark_and_on_a_phone(phone: Page, served_empty: Served) -> None:
    phone.emulate_media(color_scheme="dark")
    phone.goto(served_empty.url)
    assert axe_violations(phone) == []
    assert not too_wide(phone)


def test_the_bare_address_of_a_study_leads_to_what_is_next(client: TestClient) -> None:
    answer = client.get("/studies/saltmarsh", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/studies/saltmarsh/runs")
    assert client.get("/studies/nowhere").status_code == 404
