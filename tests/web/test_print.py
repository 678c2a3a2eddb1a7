"""On paper the run sheet is black, and no hole is left where a picture would come by scrolling."""

from __future__ import annotations

from playwright.sync_api import Page
from tests.web.conftest import NOW
from tests.web.looking import Served

from evenhand.desk.plan_needs import Terms
from evenhand.desk.planning import make_plan

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
