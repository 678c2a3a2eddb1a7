"""With JavaScript off every page is read, nothing is a hole, and forms do by themselves what they say."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.desk.small_folder import frame_log, frames
from tests.web.conftest import NOW
from tests.web.looking import Served

from evenhand.desk.bench.landing import arrive
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, plan_now
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.runs.deciding import find_run
from evenhand.records.runs import Reason, RunState
from evenhand.records.studies import Study
from evenhand.store import shelves

HEADER = "time [s],frame time [ms]"
STUDY, SPRING = "/studies/saltmarsh", "/studies/spring"
CAPPED = "Plover, Hollow Regatta 3"
WORKBENCH = ("/", "/studies/new", "/drop", "/inbox", "/devices", "/rig", "/example", "/api")
OF_STUDY = (
    "brief", "builds", "tuning", "bench", "bench/plan", "bench/watch", "runs", "compare", "causes", "money",
    "verdict", "publish", "tables/offers", "tables/parts",
)  # fmt: skip
# Parts that are asked for by themselves as soon as they are there or seen.
ASKED_FOR = "[hx-trigger^=load], [hx-trigger^=intersect], [hx-trigger^=revealed], .traced"


@pytest.fixture
def wb(wb: Desk) -> Desk:
    """The workbench with a planned second study, and a file that waits for its columns to be confirmed."""
    study = shelves.one(wb, Study, "saltmarsh")
    shelves.save(wb, replace(study, key="spring", title="Spring bench days"), now=NOW)
    log = frame_log(frames(88.0, seed=3), header=HEADER)
    arrive(wb, log, name="unknown.csv", by="left bench", about={}, now=NOW)
    return wb


@pytest.fixture
def plain(browser: Browser, served: Served) -> Iterator[Page]:
    """A page that runs no scripts."""
    context = browser.new_context(viewport={"width": 1200, "height": 900}, java_script_enabled=False)
    yield context.new_page()
    context.close()


def seen(page: Page) -> str:
    """All that a page shows, of noscript too."""
    return page.locator("body").inner_text()


def every_page(wb: Desk) -> list[str]:
    run = find_run(wb, CAPPED).run.id
    pages = [*WORKBENCH, *(f"{STUDY}/{part}" for part in OF_STUDY)]
    return [
        *pages,
        f"{SPRING}/bench",
        f"{SPRING}/bench/sheet",
        f"{STUDY}/runs/{run}",
        f"{STUDY}/builds/plover/photos",
    ]


def test_every_page_is_read_and_no_part_of_it_is_a_hole(wb: Desk, served: Served, plain: Page) -> None:
    make_plan(wb, "spring", Terms(), seed=7, now=NOW)
    for place in every_page(wb):
        answer = plain.goto(served.url + place)
        assert answer is not None, place
        assert answer.status == 200, place
        assert len(seen(plain)) > 60, place
        for part in plain.locator(ASKED_FOR).all():
            told = part.locator("a:visible, img:visible")
            assert told.count(), (
                f"{place}: {part.get_attribute('id') or part.get_attribute('class')} is a hole"
            )
    plain.goto(f"{served.url}{STUDY}/bench")
    assert "Without JavaScript this page does not follow" in seen(plain)


def test_no_words_tell_of_what_only_scripts_do(wb: Desk, served: Served, plain: Page) -> None:
    plain.goto(f"{served.url}/drop")
    assert "anywhere on this page" not in seen(plain)
    assert "Choose logs, a study folder or a zip." in seen(plain)
    plain.goto(f"{served.url}{STUDY}/runs/{find_run(wb, CAPPED).run.id}")
    plain.get_by_text("Cut its beginning or end").click()
    assert "Drag the two edges" not in seen(plain)
    assert "Write the seconds." in seen(plain)


def test_a_run_is_set_aside_with_a_reason_and_taken_back(wb: Desk, served: Served, plain: Page) -> None:
    plain.goto(f"{served.url}{STUDY}/runs?show=wait")
    card = plain.locator(f"#run-{find_run(wb, CAPPED).run.id}")
    card.locator("summary", has_text="Set aside").click()
    card.locator("select:visible").select_option(Reason.RATE_CAP.value)
    card.locator("textarea:visible").fill("limiter left on")
    card.get_by_role("button", name="Set it aside").click()
    expect(plain.locator("#done")).to_have_text(re.compile("set aside"))
    decided = find_run(wb, CAPPED).decision
    assert decided is not None
    assert (decided.reason, decided.note) == (Reason.RATE_CAP, "limiter left on")
    plain.locator("#done").get_by_role("button", name="Undo").click()
    expect(plain.locator("#done")).to_have_text(re.compile("waits again"))
    assert find_run(wb, CAPPED).state is RunState.IN_DOUBT


def test_columns_are_confirmed_and_the_file_lands(wb: Desk, served: Served, plain: Page) -> None:
    before = len(load_study(wb, "saltmarsh").runs)
    plain.goto(f"{served.url}/inbox")
    plain.get_by_label("Test", exact=True).select_option("saltmarsh/causeway")
    plain.get_by_label("Setup", exact=True).select_option("saltmarsh/wren-mild")
    plain.get_by_label("What frame time [ms] is", exact=True).select_option("frame time")
    plain.get_by_role("button", name="File it unknown.csv").click()
    expect(plain.locator("#done")).to_contain_text("unknown.csv is filed as")
    assert len(load_study(wb, "saltmarsh").runs) == before + 1


def test_a_table_of_offers_is_brought(served: Served, plain: Page) -> None:
    plain.goto(f"{served.url}{STUDY}/tables/offers")
    plain.locator("#paste").fill(
        "Part,Paid,When\nNimtal Mole X,135,2026-11-25\nNimtal Quay B,90,2026-11-25\n"
    )
    plain.get_by_role("button", name="Read what was pasted").click()
    plain.locator("#column-1").select_option("")
    plain.get_by_role("button", name="Read it so").click()
    assert "Say which column is the item’s price." in seen(plain)
    plain.locator("#column-1").select_option("item")
    plain.get_by_role("button", name="Read it so").click()
    plain.get_by_role("button", name="Keep the 2 new offers").click()
    assert "Two offers of the table are on record now." in seen(plain)


def test_a_study_is_begun_and_a_bench_day_planned(wb: Desk, served: Served, plain: Page) -> None:
    plain.goto(f"{served.url}/studies/new")
    plain.get_by_label("Question").fill("Which of two kettles boils first?")
    plain.get_by_role("button", name="Start the brief").click()
    expect(plain).to_have_url(re.compile("/brief"))
    expect(plain.get_by_text("Which of two kettles boils first?").first).to_be_visible()
    plain.goto(f"{served.url}{SPRING}/bench/plan")
    plain.get_by_role("button", name="Make this plan").click()
    expect(plain.get_by_text("This plan stands now.")).to_be_visible()
    assert plan_now(wb, "spring") is not None


def test_other_weights_are_tried_on_the_verdict(served: Served, plain: Page) -> None:
    plain.goto(f"{served.url}{STUDY}/verdict")
    before = plain.locator("#weights-read").inner_text()
    plain.locator("#weights input[type=range]").first.focus()
    plain.keyboard.press("Home")
    plain.get_by_role("button", name="Try these weights").click()
    expect(plain.locator("#weights-read")).not_to_have_text(before)
    expect(plain.locator("#weights-read")).to_contain_text("0")
