"""On paper the run sheet is black, and no hole is left where a picture would come by scrolling."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect
from tests.web.conftest import NOW
from tests.web.looking import Served

from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said

COLOURS = "[...new Set([...document.querySelectorAll('.sheet *')].map(e => getComputedStyle(e).color))]"
HOLES = "[...document.querySelectorAll('.small-drawn:has(> a)')].filter(e => e.offsetHeight).length"


def test_the_run_sheet_prints_in_black(page: Page, served: Served) -> None:
    make_plan(served.wb, "saltmarsh", Terms(looks=(20,)), seed=7, now=NOW)
    page.emulate_media(media="print")
    page.goto(f"{served.url}/studies/saltmarsh/bench/sheet")
    assert page.evaluate(COLOURS) == ["rgb(0, 0, 0)"]


def test_pictures_that_nobody_scrolled_to_leave_no_hole_on_paper(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/runs")
    page.emulate_media(media="print")
    assert page.evaluate(HOLES) == 0


def test_runs_are_printed_with_every_picture_and_no_red_ground(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/runs?show=wait")
    page.get_by_role("link", name="With every picture at once, for paper").click()
    page.emulate_media(media="print")
    cards = page.locator("ul.runs > li")
    expect(cards).to_have_count(5)
    assert page.locator("ul.runs .small-drawn svg").count() == 5
    grounds = page.evaluate(
        "[...document.querySelectorAll('ul.runs rect')].map(e => getComputedStyle(e).fill)"
    )
    assert "rgb(251, 234, 231)" not in grounds
    assert grounds


def test_what_was_left_out_is_on_paper_without_scrolling_there(page: Page, served: Served) -> None:
    set_aside(served.wb, "Plover, Hollow Regatta 3", reason="rate-cap", said=Said(note="", now=NOW))
    page.goto(f"{served.url}/studies/saltmarsh/compare")
    expect(page.locator("#left-out")).to_contain_text("Plover, Hollow Regatta 3")


def test_a_printed_page_says_of_which_study_it_is_and_when_it_was_printed(page: Page, served: Served) -> None:
    for name in ("compare", "runs"):
        page.goto(f"{served.url}/studies/saltmarsh/{name}")
        expect(page.locator(".on-paper")).to_be_hidden()
        page.emulate_media(media="print")
        expect(page.locator(".on-paper")).to_be_visible()
        expect(page.locator(".on-paper")).to_have_text(
            re.compile(rf"^.+, {name}, on \d+ [A-Z][a-z]+ \d{{4}}$")
        )
        page.emulate_media(media="screen")


def test_no_page_of_runs_holds_a_row_or_two_alone(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/runs?show=clean")
    page.emulate_media(media="print")
    kept = "[...document.querySelectorAll('.orderly tbody tr')].map(e => getComputedStyle(e).breakBefore)"
    assert page.evaluate(kept)[-5:] == ["auto", *["avoid"] * 4]


def test_what_is_folded_on_the_verdict_is_on_paper(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/verdict")
    folds = page.locator("#judged .fold")
    assert folds.count() > 0
    assert not any(each.is_visible() for each in folds.locator("li").all())
    page.emulate_media(media="print")
    for fold in folds.all():
        assert all(each.is_visible() for each in fold.locator("li").all())
    expect(page.locator("#weights .slider").first).to_be_hidden()


def test_what_stands_over_the_ladder_is_not_torn_from_it(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/verdict")
    page.emulate_media(media="print")
    for part in ("#claims h2 + p", "#claims .rungs"):
        expect(page.locator(part).first).to_have_css("break-inside", "avoid")
    expect(page.locator("#claims h2 + p").first).to_have_css("break-after", "avoid")
