"""The field that somebody is typing in stays where it is on the screen, whatever lands above it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect
from tests.web.conftest import serving
from tests.web.spring import BENCH
from tests.web.test_bench_held import first_card, fold, land_due, scores_alone

from evenhand.desk.opening import Desk

PLACE = "field => [field.getBoundingClientRect().top, window.scrollY, document.activeElement === field]"


def reason_begun(phone: Page) -> Locator:
    """The reason of a skip, half typed, as far up the page as it goes."""
    card = first_card(phone)
    fold(card, "Skip").locator("summary").tap()
    reason = card.get_by_label("Why it is left out")
    reason.tap()
    reason.press_sequentially("cable br")
    return reason


def test_at_the_head_of_the_page_a_landing_scrolls_the_page_along(phone: Page, planned: Desk) -> None:
    scores_alone(planned)
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        reason = reason_begun(phone)
        phone.evaluate("window.scrollTo(0, 0)")
        phone.wait_for_timeout(600)
        before, scrolled, _ = reason.evaluate(PLACE)
        assert scrolled == 0
        land_due(planned)
        expect(phone.locator("#landed .readout")).to_be_visible()
        expect(first_card(phone).get_by_role("alert")).to_contain_text("has landed meanwhile")
        after, scrolled, focused = reason.evaluate(PLACE)
        assert after == pytest.approx(before, abs=2)
        assert scrolled > 50
        assert focused
        expect(reason).to_have_value("cable br")


def test_where_the_reader_has_scrolled_to_is_where_the_field_stays(phone: Page, planned: Desk) -> None:
    scores_alone(planned)
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        reason = reason_begun(phone)
        phone.mouse.wheel(0, 160)
        phone.wait_for_timeout(600)
        before, scrolled, _ = reason.evaluate(PLACE)
        assert scrolled > 0
        land_due(planned)
        expect(first_card(phone).get_by_role("alert")).to_contain_text("has landed meanwhile")
        expect(phone.locator("#landed .readout")).to_be_attached()
        assert reason.evaluate(PLACE)[0] == pytest.approx(before, abs=2)


def test_a_field_that_was_scrolled_out_of_sight_moves_nothing(phone: Page, planned: Desk) -> None:
    scores_alone(planned)
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        reason_begun(phone)
        phone.evaluate("window.scrollTo(0, document.body.scrollHeight)")
        phone.wait_for_timeout(600)
        at = phone.evaluate("window.scrollY")
        phone.evaluate("document.querySelector('#landed').append('x '.repeat(2000))")
        phone.wait_for_timeout(300)
        assert phone.evaluate("window.scrollY") == at
