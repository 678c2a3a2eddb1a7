"""On a phone whatever is tapped is 44 CSS px wide and high, but for links in running text."""

from __future__ import annotations

from playwright.sync_api import Page
from tests.web.conftest import NOW
from tests.web.looking import Served

from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.on_record import load_study

SMALL = """() => {
  const found = [], all = "a, button, summary, select, textarea, input:not([type=hidden])";
  for (const each of document.querySelectorAll(all)) {
    const style = getComputedStyle(each), more = getComputedStyle(each, "::after");
    const label = each.matches("[type=checkbox], [type=radio]") && each.closest("label");
    let { width, height } = (label || each).getBoundingClientRect();
    if (!width || !height || style.visibility === "hidden" || each.closest("svg, .skip")) continue;
    if (more.content !== "none" && more.position === "absolute") {  // a larger area than what is drawn
      width = Math.max(width, parseFloat(more.width) || 0);
      height = Math.max(height, parseFloat(more.height) || 0);
    }
    if (width >= 43.9 && height >= 43.9) continue;
    const words = each.textContent.trim(), around = each.parentElement.textContent.trim();
    if (each.matches("a") && style.display === "inline" && around.length > words.length + 8) continue;
    found.push(`${each.tagName} ${Math.round(width)}x${Math.round(height)} ${words.slice(0, 30)}`);
  }
  return found;
}"""


def test_nothing_to_be_tapped_is_small(phone: Page, served: Served) -> None:
    make_plan(served.wb, "saltmarsh", Terms(looks=(20,)), seed=7, now=NOW)
    run = load_study(served.wb, "saltmarsh").runs[0].run.id
    study = ("brief", "builds", "bench/plan", "bench/sheet", "runs?show=all", f"runs/{run}", "compare")
    pages = ("/", "/devices", *(f"/studies/saltmarsh/{each}" for each in (*study, "compare/left-out")))
    small = {}
    for page in pages:
        phone.goto(f"{served.url}{page}")
        menu = phone.locator("details.pages > summary")
        if menu.count():
            menu.tap()
        if found := phone.evaluate(SMALL):
            small[page] = found
    assert small == {}


def test_the_run_sheet_needs_no_scrolling_sideways(phone: Page, served: Served) -> None:
    make_plan(served.wb, "saltmarsh", Terms(looks=(20,)), seed=7, now=NOW)
    phone.set_viewport_size({"width": 360, "height": 780})
    phone.goto(f"{served.url}/studies/saltmarsh/bench/sheet")
    wide = "[...document.querySelectorAll('html, .scroll')].filter(e => e.scrollWidth > e.clientWidth).length"
    assert phone.evaluate(wide) == 0
