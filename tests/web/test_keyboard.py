"""By keyboard alone: nothing traps, the focus is seen, no exchanged part loses it, and the work is done."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from tests.desk.small_folder import frame_log, frames
from tests.web.conftest import NOW, looking_at, serving
from tests.web.looking import Served

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.runs.deciding import find_run
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.store import shelves

STUDY = "/studies/saltmarsh"
NIGHT = "Dunlin, Night render, hot room"
# Whether what has the focus shows it: by an outline of its own, or one around the box that it is typed in.
RING = """() => [document.activeElement, document.activeElement.closest('.in')].filter(Boolean).some(e => {
  const { outlineStyle, outlineWidth } = getComputedStyle(e);
  return outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2;
})"""
NOWHERE = "document.activeElement === document.body"


def tab_to(page: Page, place: Locator, *, most: int = 200) -> None:
    """Goes on with the tab key until the place has the focus; every stop on the way shows where one is."""
    for _ in range(most):
        page.keyboard.press("Tab")
        assert not page.evaluate(NOWHERE), f"the focus is lost, or never comes to {place}"
        assert page.evaluate(RING), page.evaluate("document.activeElement.outerHTML.slice(0, 200)")
        if place.evaluate("e => e === document.activeElement"):
            return
    raise AssertionError(f"not reached: {place}")


def leave(page: Page) -> None:
    """Goes from the page before its server does."""
    page.goto("about:blank")


def test_pictures_that_come_while_one_goes_by_leave_the_focus_where_it_was(
    phone: Page, served: Served
) -> None:
    phone.goto(f"{served.url}{STUDY}/runs?show=wait")
    tab_to(phone, phone.locator("ul.runs summary").last)
    assert phone.locator("#runs .small-drawn svg").count() > 0
    leave(phone)


def test_a_landed_run_is_set_aside_and_taken_back_on_the_bench(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{STUDY}/bench")
    tab_to(page, page.locator(".thumbs summary", has_text="Set aside"))
    page.keyboard.press("Enter")
    tab_to(page, page.locator(".thumbs details[open] .reasons button").first, most=3)
    page.keyboard.press("Enter")
    expect(page.locator(".thumbs .done")).to_contain_text("set aside")
    expect(page.locator(".thumbs .done")).to_be_focused()
    assert page.evaluate("scrollY") == 0  # what is next stays in sight
    assert find_run(served.wb, NIGHT).state is RunState.SET_ASIDE
    tab_to(page, page.locator(".thumbs .done button"), most=1)
    page.keyboard.press("Enter")
    expect(page.locator(".thumbs .done")).to_contain_text("the decision is taken back, it waits again")
    expect(page.locator(".thumbs .done")).to_be_focused()
    assert find_run(served.wb, NIGHT).state is RunState.IN_DOUBT
    leave(page)


def test_who_begins_a_warm_up_goes_on_in_the_same_run(page: Page, planned: Desk) -> None:
    with serving(planned) as served:
        page.goto(f"{served.url}/studies/spring/bench")
        tab_to(page, page.locator("#next .warming button").first)
        page.keyboard.press("Enter")
        expect(page.locator("#next [role=timer]").first).to_be_visible()
        expect(page.locator("article.next-run").first).to_be_focused()
        tab_to(page, page.locator("#next .warming button").first, most=1)
        leave(page)


def test_who_hides_names_goes_on_with_showing_them(page: Page, planned: Desk) -> None:
    with serving(planned) as served:
        page.goto(f"{served.url}/studies/spring/bench")
        tab_to(page, page.get_by_role("button", name="Hide names"))
        page.keyboard.press("Enter")
        expect(page.locator("#names")).to_be_focused()
        tab_to(page, page.get_by_role("button", name="Show names"), most=1)
        leave(page)


def test_what_decides_about_a_run_is_a_few_tabs_from_the_top_of_the_bench(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{STUDY}/bench")
    tab_to(page, page.get_by_role("link", name="Skip to deciding"), most=2)
    page.keyboard.press("Enter")
    tab_to(page, page.locator(".thumbs").locator("summary, button").first, most=1)
    leave(page)


def test_where_nothing_waits_no_link_leads_to_deciding(page: Page, served_empty: Served) -> None:
    shelves.save(served_empty.wb, Study(key="bare", title="Bare", setups=(), tests=()), now=NOW)
    page.goto(f"{served_empty.url}/studies/bare/bench")
    expect(page.get_by_role("link", name="Skip to the answer")).to_have_count(1)
    expect(page.get_by_role("link", name="Skip to deciding")).to_have_count(0)
    leave(page)


def test_a_file_is_brought_in_and_its_columns_confirmed(page: Page, served: Served, tmp_path: Path) -> None:
    log = tmp_path / "causeway wren.csv"
    log.write_bytes(frame_log(frames(88.0, seed=3), header="time [s],frame time [ms]"))
    page.goto(f"{served.url}/drop")
    tab_to(page, page.get_by_label("Files", exact=True))
    page.get_by_label("Files", exact=True).set_input_files(
        log
    )  # the dialog of the system is not ours to drive
    expect(page.locator(".tray")).to_contain_text("in the inbox")
    tab_to(page, page.locator(".tray a").first)
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/inbox"))
    page.wait_for_load_state()  # before that there is nothing to tab to
    before = len(load_study(served.wb, "saltmarsh").runs)
    for name, words in (("Test", "Salt Causeway"), ("Setup", "Wren")):
        tab_to(page, page.get_by_label(name, exact=True))
        page.keyboard.type(words)
    tab_to(page, page.get_by_role("button", name=re.compile("File it")))
    page.keyboard.press("Enter")
    expect(page.locator("#done")).to_contain_text("is filed as")
    assert len(load_study(served.wb, "saltmarsh").runs) == before + 1
    expect(page.locator("#done")).to_be_focused()
    leave(page)


def test_the_slider_of_the_verdict_is_reached_and_moved(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{STUDY}/verdict")
    slider = page.locator("#weights input[type=range]").first
    tab_to(page, slider)
    expect(page.get_by_text("Try these weights")).to_be_hidden()  # a button that would do nothing here
    before = slider.input_value()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#weights output").first).to_have_text(f"{int(before) - 1}\N{NO-BREAK SPACE}%")
    leave(page)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_list_of_pages_opens_and_closes_on_a_phone(browser: Browser, served: Served, scheme: str) -> None:
    with looking_at(browser, width=390, height=844, touch=True) as phone:
        phone.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
        phone.goto(f"{served.url}{STUDY}/runs")
        tab_to(phone, phone.locator("details.pages summary"), most=3)
        phone.keyboard.press("Enter")
        tab_to(phone, phone.locator("details.pages a", has_text="Compare"), most=12)
        phone.keyboard.press("Escape")
        expect(phone.locator("details.pages nav")).to_be_hidden()
        expect(phone.locator("details.pages summary")).to_be_focused()
        leave(phone)
