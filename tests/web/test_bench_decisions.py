"""Decisions at the bench: by thumb, by two at once, about runs that no plan has."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.conftest import NOW
from tests.web.looking import Served, axe_violations
from tests.web.spring import BENCH, land_export, plan_id, slots_of

from evenhand.desk.bench.landing import Filing, land_score
from evenhand.desk.bench.plan_standing import SlotState
from evenhand.desk.bench.planning import plan_now
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.pages.bench import line_of
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.records.runs import RunState


def capped(wb: Desk) -> str:
    """The capped run of the Saltmarsh study, which waits."""
    waits = [r for r in load_study(wb, "saltmarsh").runs if r.state is RunState.IN_DOUBT]
    return waits[-1].run.id


def form_of(page: str) -> dict[str, str]:
    """The hidden fields of the first decision form."""
    part = page.partition('class="thumbs"')[2]
    return dict(re.findall(r'<input type="hidden" name="(run|seen|masked)" value="([^"]*)">', part))


def test_what_waits_is_decided_by_thumb_and_can_be_undone(wb: Desk, client: TestClient) -> None:
    bench = "/studies/saltmarsh/bench"
    form = form_of(client.get(bench).text)
    answer = client.post(
        f"{bench}/decide", data={**form, "verb": "redo", "reason": "rate-cap"}, follow_redirects=False
    )
    assert answer.status_code == 303
    run = form["run"]
    state = {r.run.id: r.state for r in load_study(wb, "saltmarsh").runs}
    assert state[run] is RunState.SET_ASIDE
    client.post(f"{bench}/undo", data={"run": run})
    state = {r.run.id: r.state for r in load_study(wb, "saltmarsh").runs}
    assert state[run] is RunState.IN_DOUBT


def told_back(page: str) -> str:
    """What the bar at the foot says was just done."""
    return re.sub(
        r"<[^>]+>", "", page.partition('class="done" role="status" tabindex="-1">')[2].split("</span>")[0]
    )


def test_what_was_taken_back_is_said(wb: Desk, client: TestClient) -> None:
    bench, run = "/studies/saltmarsh/bench", capped(wb)
    client.post(f"{bench}/decide", data={"run": run, "verb": "set-aside", "reason": "rate-cap"})
    told = told_back(client.post(f"{bench}/undo", data={"run": run}).text)
    assert told.endswith(": the decision is taken back, it waits again")
    assert told_back(client.get(f"{bench}?undone=nobody").text) == ""
    client.post(f"{bench}/decide", data={"run": run, "verb": "set-aside", "reason": "rate-cap"})
    assert told_back(client.get(f"{bench}?undone={run}").text) == ""


def test_a_slot_that_is_taken_up_again_is_said(planned: Desk, bench: TestClient) -> None:
    form = {"plan": str(plan_id(planned)), "slot": str(slots_of(planned)[0].slot.number)}
    bench.post(f"{BENCH}/skip", data={**form, "reason": "no time"})
    told = told_back(bench.post(f"{BENCH}/unskip", data=form).text)
    assert told.startswith("Run 1 of the plan, ")
    assert told.endswith(": not skipped any more")


def test_undo_keeps_the_keyboard_where_it_was(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/bench")
    page.locator(".thumbs summary", has_text="Set aside").click()
    page.get_by_role("button", name="A limiter or a screen held the rate").last.click()
    page.locator(".thumbs .done").get_by_role("button", name="Undo").press("Enter")
    expect(page.locator(".thumbs .done")).to_contain_text("taken back")
    expect(page.locator(".thumbs .done")).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.locator(".thumbs").get_by_role("button", name="Keep").first).to_be_focused()


def test_the_second_of_two_phones_sees_what_the_first_decided(wb: Desk, client: TestClient) -> None:
    bench = "/studies/saltmarsh/bench"
    form = form_of(client.get(bench).text)
    client.post(f"{bench}/decide", data={**form, "verb": "set-aside", "reason": "rate-cap"})
    second = client.post(f"{bench}/decide", data={**form, "verb": "keep", "note": "looks fine to me"})
    assert second.status_code == 409
    assert "was set aside" in second.text
    assert "looks fine to me" in second.text


def test_setting_aside_without_a_reason_asks_for_one(wb: Desk, client: TestClient) -> None:
    bench = "/studies/saltmarsh/bench"
    form = form_of(client.get(bench).text)
    answer = client.post(f"{bench}/decide", data={**form, "verb": "set-aside"})
    assert answer.status_code == 422
    assert "Choose a reason" in answer.text


def test_a_run_that_was_decided_about_shrinks_to_a_line(planned: Desk, bench: TestClient) -> None:
    """Nothing is to be thought of it any more: what is next comes first again."""
    plan = plan_now(planned, "spring")
    assert plan
    slot = next(now for now in plan.coming if now.slot.test == "export").slot
    bench.post(f"{BENCH}/file", data={"plan": str(plan.plan.id), "slot": str(slot.number), "score": "13.1"})
    (run,) = load_study(planned, "spring").runs
    assert '<dl class="readout">' in bench.get(BENCH).text
    set_aside(planned, run.run.id, reason="interrupted", said=Said(note="the phone rang", now=NOW))
    page = bench.get(BENCH).text
    assert '<dl class="readout">' not in page
    assert re.search(r'class="decided-run"><a href="[^"]+">[^<]+, run 1</a>: set aside', page)
    assert "the phone rang" in page
    assert 'class="first none-yet"' in page


def test_a_waiting_run_is_decided_by_touch(phone: Page, served: Served) -> None:
    phone.goto(f"{served.url}/studies/saltmarsh/bench")
    assert axe_violations(phone) == []
    phone.locator(".thumbs summary", has_text="Set aside").tap()
    phone.get_by_role("button", name="A limiter or a screen held the rate").last.tap()
    expect(phone.get_by_role("button", name="Undo")).to_be_visible()


def test_an_open_panel_says_that_its_run_was_decided_elsewhere_before_anything_is_chosen(
    phone: Page, served: Served
) -> None:
    phone.goto(f"{served.url}/studies/saltmarsh/bench")
    panel = phone.locator(".thumbs details.thumb", has=phone.locator("summary", has_text="Set aside"))
    panel.locator("summary", has_text="Set aside").tap()
    phone.wait_for_timeout(600)
    set_aside(served.wb, capped(served.wb), reason="interrupted", said=Said(note="", now=NOW))
    expect(panel.get_by_role("alert")).to_contain_text("decided about meanwhile")
    assert panel.locator("form button:enabled").count() == 0
    name = panel.locator("b").first.inner_text()
    panel.locator("summary", has_text="Set aside").tap()
    expect(phone.locator(".thumbs b", has_text=name)).to_have_count(0)


def test_a_run_in_doubt_says_one_thing_and_folds_the_rest(client: TestClient) -> None:
    page = client.get("/studies/saltmarsh/bench").text
    fault = page.index('<div class="fault land"')
    assert page.count('<div class="fault land"') == 1
    assert page.index('class="small-drawn"') < fault < page.index('<details class="evidence">')


def test_every_panel_and_the_undo_bar_name_the_run_alike(client: TestClient, wb: Desk) -> None:
    run, bench = capped(wb), "/studies/saltmarsh/bench"
    page = client.get(bench).text
    name = page.partition('<h2 class="answer">')[2].partition(" does not match")[0]
    dock = page.partition('id="thumbs"')[2].partition("</section>")[0]
    assert dock.count(f"<b>{name}.</b>") == dock.count('<details class="thumb"') == 2
    form = {"run": run, "verb": "set-aside", "reason": "rate-cap"}
    done = client.post(f"{bench}/decide", data=form).text.partition('class="done"')[2]
    assert name in done.partition("</span>")[0]


def test_the_likely_reasons_come_first_then_the_others_folded_then_the_note(client: TestClient) -> None:
    panel = client.get("/studies/saltmarsh/bench").text.partition('value="set-aside"')[2]
    likely, others, note = (
        panel.index(each) for each in ("reasons likely", '"others"', 'id="set-aside-note"')
    )
    assert likely < panel.index('value="rate-cap"') < others < note


@pytest.mark.parametrize("left_out", ["", "yes"])
@pytest.mark.parametrize("way", ["bench", "runs", "api"])
def test_setting_aside_means_the_same_on_every_way(
    planned: Desk, bench: TestClient, *, way: str, left_out: str
) -> None:
    about = next(each for each in slots_of(planned) if each.slot.test == "export")
    bench.post(
        f"{BENCH}/file", data={"plan": str(plan_id(planned)), "slot": str(about.slot.number), "score": "61"}
    )
    run = load_study(planned, "spring").runs[-1].run.id
    asked = {"reason": "interrupted", "leave_slot_out": left_out}
    if way == "bench":
        bench.post(f"{BENCH}/decide", data={**asked, "run": run, "verb": "set-aside"})
    elif way == "runs":
        bench.post(f"/studies/spring/runs/{run}/set-aside", data=asked)
    else:
        sent = {"reason": "interrupted", "leave_slot_out": bool(left_out)}
        assert bench.post(f"/api/runs/{run}/set-aside", json=sent).status_code == 200
    held = next(each for each in slots_of(planned) if each.run == run)
    assert (held.state.open, held.state is SlotState.SKIPPED) == (not left_out, bool(left_out))


def off_plan(wb: Desk, *, ambient_c: float | None = None) -> str:
    """A run that came in without a slot."""
    setup = load_study(wb, "spring").study.setups[0]
    filing = Filing(study="spring", test="export", setup=setup, score=61.0, boot="extra", ambient_c=ambient_c)
    return land_score(wb, filing, by="phone", now=NOW).run.run.id


def test_a_run_that_is_not_in_the_plan_is_shown_with_its_own_buttons(
    planned: Desk, bench: TestClient
) -> None:
    assert "not in the plan" not in bench.get(BENCH).text
    run = off_plan(planned)
    assert f'id="off-{run}"' in (page := bench.get(BENCH).text)
    assert "not in the plan" in page
    asked = {"run": run, "verb": "set-aside", "at": f"off-{run}"}
    assert f'id="off-{run}-says"' in bench.post(f"{BENCH}/decide", data=asked).text
    bench.post(f"{BENCH}/decide", data={**asked, "reason": "interrupted"})
    assert load_study(planned, "spring").runs[-1].state is RunState.SET_ASIDE
    bench.post(f"{BENCH}/undo", data={"run": run})
    assert load_study(planned, "spring").runs[-1].state is not RunState.SET_ASIDE


def test_what_is_found_in_a_run_that_is_not_in_the_plan_stands_beside_it(
    planned: Desk, bench: TestClient
) -> None:
    run = off_plan(planned, ambient_c=39.0)
    off_plan(planned)  # the last to land is told at the top
    title = next(each for each in load_study(planned, "spring").runs if each.run.id == run).faults[0].title
    answer = bench.get(BENCH)
    assert answer.status_code == 200
    assert f"not in the plan. {title}" in answer.text


def test_a_run_that_is_not_in_the_plan_is_sent_to_the_bench_from_its_own_page(
    planned: Desk, bench: TestClient
) -> None:
    run = off_plan(planned, ambient_c=39.0)
    page = bench.get(f"/studies/spring/runs/{run}").text
    seen = re.findall(r'name="seen" value="([^"]*)"', page)[0]
    sent = {"seen": seen, "reason": "other-conditions", "then": "bench"}
    answer = bench.post(f"/studies/spring/runs/{run}/set-aside", data=sent)
    assert answer.status_code == 200
    assert answer.url.path == BENCH


def test_a_slot_that_comes_up_again_shows_no_number_of_the_run_that_was_set_aside(planned: Desk) -> None:
    land_export(planned, 61.0)
    run = load_study(planned, "spring").runs[-1].run.id
    set_aside(planned, run, reason="interrupted", said=Said(note="", now=NOW))
    plan = plan_now(planned, "spring")
    assert plan
    slot = next(each for each in plan.slots if each.run == run)
    assert slot.state.open
    assert line_of(load_study(planned, "spring"), plan, slot, mask=None).value == ""
