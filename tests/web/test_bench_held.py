"""A card of the next run that is being filled in stays while all else follows, and says what became of it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from playwright.sync_api import Browser, Locator, Page, expect
from starlette.testclient import TestClient
from tests.web.conftest import NOW, serving
from tests.web.looking import axe_violations
from tests.web.spring import BENCH, due, plan_id, slots_of

from evenhand.desk.bench.landing import Filing, land_score
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.plan_standing import SlotState
from evenhand.desk.bench.planning import make_plan, note, plan_now, skip, unskip
from evenhand.desk.opening import Desk
from evenhand.records.studies import Study
from evenhand.store import shelves

# In how many places at once a page has told where a reading went, each time that anything on it changed.
TOLD = """() => new MutationObserver(() => window.told.push(
  [...document.querySelectorAll("#next p")]
    .filter((p) => p.checkVisibility() && /is noted with/.test(p.textContent)).length
)).observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true })"""


def scores_alone(wb: Desk, *, at_once: int = 1) -> None:
    """Spring with its export alone: runs that land as scores."""
    shelves.save(wb, replace(shelves.one(wb, Study, "spring"), tests=("export",)), now=NOW)
    terms = Terms(looks=(3, 5))
    make_plan(wb, "spring", replace(terms, pace=replace(terms.pace, at_once=at_once)), seed=7, now=NOW)


def land_due(wb: Desk, at: int = 0, *, score: float = 61.0) -> None:
    """A score under one of the slots that are due."""
    plan = plan_now(wb, "spring")
    assert plan
    slot = plan.due[at].slot
    filing = Filing(
        study="spring", test=slot.test, setup=slot.setup, score=score, plan=plan.plan.id, slot=slot.number,
        boot=slot.boot,
    )  # fmt: skip
    land_score(wb, filing, by="phone", now=NOW)


def fold(card: Locator, name: str) -> Locator:
    return card.locator("details.ask", has=card.page.locator("summary", has_text=name))


def first_card(page: Page) -> Locator:
    """The card of the first run that is next, by its own id, so that it stays the same one."""
    return page.locator(f"#{page.locator('article.next-run').first.get_attribute('id')}")


def test_a_fold_that_is_only_open_does_not_keep_the_next_run_from_coming(phone: Page, planned: Desk) -> None:
    scores_alone(planned)
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        fold(phone.locator("#next"), "Photo of the settings").locator("summary").tap()
        land_due(planned)
        expect(phone.locator("#next .lead-in")).to_have_text("Next, run 2 of 10")


def test_a_fold_that_is_only_open_stays_open_while_its_run_is_next(phone: Page, planned: Desk) -> None:
    scores_alone(planned)
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        own = fold(phone.locator("#next"), "Skip")
        own.locator("summary").tap()
        plan = plan_now(planned, "spring")
        assert plan
        skip(planned, plan.plan.id, plan.coming[-1].slot.number, "no time", by="desk", now=NOW)
        expect(phone.locator("#list")).to_contain_text("no time")
        expect(own.get_by_label("Why it is left out")).to_be_visible()


def test_a_card_in_which_a_reason_was_begun_says_that_its_run_has_landed_and_skips_nothing(
    phone: Page, planned: Desk
) -> None:
    scores_alone(planned, at_once=2)
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        card = first_card(phone)
        fold(card, "Skip").locator("summary").tap()
        reason = card.get_by_label("Why it is left out")
        reason.fill("cable br")
        phone.evaluate("document.activeElement.blur()")
        phone.wait_for_timeout(600)
        land_due(planned)
        land_due(planned)
        told = card.get_by_role("alert")
        expect(told).to_contain_text("Run 1 has landed meanwhile, with 61")
        expect(reason).to_have_value("cable br")
        expect(card.get_by_role("button", name="Skip this run")).to_be_disabled()
        expect(card.locator('form[action$="/file"] button')).to_be_disabled()
        rest = [re.compile("run 3"), re.compile("run 4")]
        expect(phone.locator("#next .lead-in")).to_have_text(["Run 1 of 10", *rest])
        assert axe_violations(phone) == []
        told.get_by_role("button", name="see what is next").tap()
        expect(phone.locator("#next .lead-in")).to_have_text([re.compile("run 3"), re.compile("run 4")])


def test_why_a_log_was_not_filed_stays_until_it_is_read_and_leads_to_the_inbox(
    planned: Desk, browser: Browser, tmp_path: Path
) -> None:
    log = tmp_path / "new rig.csv"
    log.write_bytes(b"a;b\n" + b"".join(b"%d;%d\n" % (n, 16 + n % 3) for n in range(500)))
    shelves.save(planned, replace(shelves.one(planned, Study, "spring"), tests=("regatta",)), now=NOW)
    made = make_plan(planned, "spring", Terms(looks=(3, 5)), seed=7, now=NOW)
    with serving(planned) as served:
        page = browser.new_page()
        page.goto(f"{served.url}{BENCH}")
        card = first_card(page)
        fold(card, "Bring its log or score").locator("summary").click()
        card.get_by_label("Log", exact=True).set_input_files(str(log))
        card.get_by_role("button", name="File it under this run").click()
        told = page.locator(".next-run .err")
        expect(told).to_contain_text("new rig.csv: nobody has confirmed what its columns are")
        page.wait_for_timeout(1500)
        note(planned, made.id, made.slots[-1].number, "ambient_c", "21", by="phone", now=NOW)
        page.wait_for_timeout(1500)
        expect(told).to_be_visible()
        told.get_by_role("link", name="Go to the inbox").click()
        expect(page.get_by_text("new rig.csv").first).to_be_visible()
        page.close()


def test_a_card_whose_run_is_taken_up_again_can_be_used_again(page: Page, planned: Desk) -> None:
    scores_alone(planned)
    with serving(planned) as served:
        page.goto(f"{served.url}{BENCH}")
        card = first_card(page)
        fold(card, "Skip").locator("summary").click()
        card.get_by_label("Why it is left out").fill("cable br")
        place = {key: int(value) for key, value in due(planned).items()}
        page.wait_for_timeout(600)
        skip(planned, **place, reason="no power", by="phone", now=NOW)
        expect(card.get_by_role("alert")).to_contain_text("Run 1 was skipped meanwhile: no power.")
        page.wait_for_timeout(600)
        unskip(planned, **place, by="phone", now=NOW)
        expect(card.get_by_role("button", name="Skip this run")).to_be_enabled()
        expect(card.get_by_role("alert")).to_have_count(0)
        expect(card.locator(".lead-in")).to_have_text("Next, run 1 of 10")
        expect(card.get_by_label("Why it is left out")).to_have_value("cable br")


def test_a_skip_that_comes_too_late_says_why_nothing_was_skipped_and_keeps_the_reason(
    planned: Desk, bench: TestClient
) -> None:
    scores_alone(planned)
    before = due(planned)
    land_due(planned)
    answer = bench.post(f"{BENCH}/skip", data={**before, "reason": "cable <broke>"})
    assert answer.status_code == 409
    told = answer.text.partition('id="told-late"')[2].partition("</p>")[0].replace("\u00a0", " ")
    assert "Run 1 has landed meanwhile, with 61" in told
    assert told.endswith("Nothing was skipped. You had written: “cable &lt;broke&gt;”")
    assert not [now for now in slots_of(planned) if now.state is SlotState.SKIPPED]


def test_a_slot_says_why_it_is_closed_and_nothing_while_it_is_open(planned: Desk, bench: TestClient) -> None:
    scores_alone(planned)
    place = due(planned)

    def said(**instead: str) -> str:
        return bench.get(f"{BENCH}/closed", params={**place, **instead}).text.replace("\u00a0", " ")

    assert said() == ""
    assert (
        said(plan="1")
        == said(slot="99")
        == ("This run is not in the plan any more: the rest was planned anew meanwhile.")
    )
    skip(planned, int(place["plan"]), int(place["slot"]), "spilt tea", by="desk", now=NOW)
    assert said() == "Run 1 was skipped meanwhile: spilt tea."
    unskip(planned, int(place["plan"]), int(place["slot"]), by="desk", now=NOW)
    land_due(planned)
    assert said().startswith("Run 1 has landed meanwhile, with 61")
    bench.post(f"{BENCH}/mask", data={"plan": place["plan"], "masked": "yes"})
    assert said() == "Run 1 has landed meanwhile."


def test_while_names_are_hidden_the_plan_tells_neither_whose_a_run_is_nor_which_one_waits(
    planned: Desk, bench: TestClient
) -> None:
    scores_alone(planned)
    for score in (61.0, 61.1, 61.1, 61.0, 61.0, 90.0):
        land_due(planned, score=score)
    slots = bench.get("/api/studies/spring/plan").json()["slots"]
    waits = next(slot for slot in slots if slot["state"] == "in doubt")
    assert waits["boot"].startswith(waits["setup"])
    bench.post(f"{BENCH}/mask", data={"plan": str(plan_id(planned)), "masked": "yes"})
    told = bench.get("/api/studies/spring/plan").json()["slots"]
    made = [slot for slot in told if slot["state"] == "done"]
    assert len(made) == 6
    assert {(slot["run"], slot["setup"], slot["boot"]) for slot in made} == {(None, None, None)}
    page = bench.get(f"{BENCH}/plan").text
    assert waits["boot"] not in page
    assert "in doubt" not in page
    assert "in-doubt" not in page


def test_where_a_late_reading_went_is_told_once(phone: Page, planned: Desk) -> None:
    scores_alone(planned)
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        phone.get_by_label("At the wall", exact=True).first.fill("287.5")
        phone.wait_for_timeout(600)
        land_due(planned)
        expect(phone.get_by_role("alert").filter(has_text="Run 1 has landed meanwhile")).to_be_visible()
        phone.evaluate("window.told = []")
        phone.evaluate(TOLD)
        phone.keyboard.press("Enter")
        expect(phone.locator("#told-late")).to_contain_text("is noted with")
        expect(phone.locator("#told-late")).to_be_focused()
        expect(phone.locator("#next .lead-in")).to_have_text(["Next, run 2 of 10"])
        assert max(phone.evaluate("window.told")) == 1


def test_the_first_sentence_follows_until_the_plan_is_done(page: Page, planned: Desk) -> None:
    scores_alone(planned)
    with serving(planned) as served:
        page.goto(f"{served.url}{BENCH}")
        expect(page.locator("h1")).to_have_text("Bench: One is next.")
        for now in slots_of(planned):
            skip(planned, plan_id(planned), now.slot.number, "no power", by="phone", now=NOW)
        expect(page.locator("h1")).to_have_text("Bench: The plan is done. Nothing is left to run.")


def test_a_log_that_was_chosen_while_its_run_lands_stays_chosen_and_is_filed_nowhere(
    phone: Page, planned: Desk
) -> None:
    scores_alone(planned, at_once=2)
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        card = first_card(phone)
        fold(card, "Bring its log").locator("summary").tap()
        chosen = card.locator('input[name="log"]')
        chosen.set_input_files({"name": "second.csv", "mimeType": "text/csv", "buffer": b"frame,ms\n1,9.5\n"})
        phone.wait_for_timeout(600)
        land_due(planned)
        expect(card.get_by_role("alert")).to_contain_text("Run 1 has landed meanwhile, with 61")
        assert chosen.evaluate("field => [...field.files].map((file) => file.name)") == ["second.csv"]
        expect(card.locator('form[action$="/file"] button')).to_be_disabled()
        assert sum(now.run is not None for now in slots_of(planned)) == 1
