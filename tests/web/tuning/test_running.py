"""A trial that a rig runs: Tuning and Bench show it, nobody begins a run there, and a button ends it."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from starlette.testclient import TestClient
from tests.conftest import NOW
from tests.desk.tuning.small_chip import TRIAL, TUNED, lay_part, tried, walked
from tests.web.conftest import serving
from tests.web.looking import sound
from tests.web.test_rig_api import rig
from tests.web.tuning.told import all_words as words

from evenhand.desk.bench.hiding import hide_names
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, plan_now
from evenhand.desk.opening import Desk
from evenhand.desk.tuning.noting import note_tuned
from evenhand.desk.tuning.under_way import Heard, hear
from evenhand.records.trials import Outcome
from evenhand.store.trials import trials_of
from evenhand.store.under_way import told_of

STUDY = "/studies/quay"
TUNING, BENCH = f"{STUDY}/tuning", f"{STUDY}/bench"
HERE = "/api/rig/trials/here"
WORD = {
    "key": "a", "setup": "wren", "part": "processor", "clock_mhz": 5000.0, "voltage_mv": 1050.0,
    "load": "integers", "hours": 0.5, "planned_h": 1.5, "hottest_c": 71.5, "settings": {"load-line": "4"},
}  # fmt: skip
SHOWN = "A trial runs: Wren, processor"


@pytest.fixture
def bench(bench: Desk) -> Desk:
    lay_part(bench)
    tried(bench, walked())
    return bench


def heard_before(wb: Desk, seconds: float, *, now: datetime = NOW, **changes: Any) -> None:
    """A rig told of its trial so long ago, and was not heard since."""
    at = now - timedelta(seconds=seconds)
    hear(wb, {**WORD, **changes}, rig="rig-1", by="left bench", heard=Heard(), now=at)


def record(**changes: Any) -> dict[str, Any]:
    return {**TRIAL, "key": "a", "outcome": "stopped", "hours": 0.5, **changes}


@pytest.mark.parametrize("page", [TUNING, f"{TUNING}/running", BENCH, f"{BENCH}/running"])
def test_it_is_shown_with_how_long_how_much_is_left_and_how_hot(site: TestClient, page: str) -> None:
    assert SHOWN not in words(site.get(page).text)
    site.post(HERE, json=WORD)
    said = words(site.get(page).text)
    assert SHOWN in said
    assert "5,000 MHz at 1,050 mV, integers, load-line 4. Begun on this computer at 09:00:00." in said
    assert "It has held for 30 min, 1 h left, 71.5 °C was the hottest so far. Last heard at 09:30:00." in said
    assert "Stop this trial" in said


def test_after_a_silence_it_says_since_when_and_what_that_may_mean(bench: Desk, site: TestClient) -> None:
    heard_before(bench, 44)
    said = words(site.get(TUNING).text)
    assert "A trial was running: Wren, processor" in said
    assert "It had held for 30 min, 1 h left" in said
    assert "Not heard since 09:29:16 It may hang, or only its network is gone." in said
    assert "what it held stands in its journal" in said


def test_one_that_has_ended_waits_for_its_record_and_has_no_button(site: TestClient) -> None:
    site.post(HERE, json={**WORD, "over": True})
    said = words(site.get(TUNING).text)
    assert "A trial has ended: Wren, processor" in said
    assert "Its record is on its way." in said
    assert "Stop this trial" not in said
    site.post("/api/rig/trials", json=record())
    assert "processor 5,000" not in words(site.get(f"{TUNING}/running").text)


@pytest.mark.parametrize("page", [TUNING, BENCH])
def test_the_button_asks_once_and_says_what_becomes_of_that(bench: Desk, site: TestClient, page: str) -> None:
    site.post(HERE, json=WORD)
    answer = site.post(f"{page}/stop", data={"key": "a"})
    assert answer.history[0].status_code == 303
    said = words(answer.text)
    assert "A stop was asked for at 09:30:00 on this computer. The rig hears it with its next word" in said
    assert "Stop this trial" not in said
    assert site.post(HERE, json=WORD).json()["stop"].startswith("the stop button of the workbench")
    site.post("/api/rig/trials", json=record(note="ended before its time by the stop button"))
    assert site.post(f"{page}/stop", data={"key": "a"}).status_code == 200, "it has ended meanwhile"
    (kept,) = [trial for trial in trials_of(bench, ["wren"]) if trial.key == "a"]
    assert kept.outcome is Outcome.STOPPED


def test_a_stop_that_may_not_reach_the_rig_is_told_as_that(bench: Desk, site: TestClient) -> None:
    heard_before(bench, 44)
    said = words(site.post(f"{TUNING}/stop", data={"key": "a"}).text)
    assert "The rig was not heard since, and may not know: end it at the machine." in said


def test_one_of_which_no_record_will_come_is_given_up_with_a_reason(bench: Desk, site: TestClient) -> None:
    heard_before(bench, 44)
    assert site.post(f"{TUNING}/give-up", data={"key": "a", "reason": " "}).status_code == 422
    assert "A trial was running" in words(site.get(TUNING).text)
    done = site.post(f"{BENCH}/give-up", data={"key": "a", "reason": "its disk is gone"})
    assert "A trial was running" not in words(done.text)
    found = told_of(bench, "a")
    assert found is not None
    assert found.given_up_why == "its disk is gone"


@pytest.mark.parametrize("way", ["stop", "give-up"])
def test_a_form_that_names_no_trial_does_nothing(site: TestClient, way: str) -> None:
    assert site.post(f"{TUNING}/{way}", data={}).status_code == 404
    assert site.post(f"{TUNING}/{way}", data={"key": "of another study", "reason": "x"}).status_code == 200


def test_what_a_rig_tells_brings_no_markup(site: TestClient) -> None:
    site.post(HERE, json={**WORD, "load": "<script>1</script>", "key": '"><b>x</b>'})
    for page in (TUNING, BENCH):
        text = site.get(page).text
        assert "<script>1" not in text
        assert "<b>x</b>" not in text


def planned(bench: Desk) -> tuple[str, str]:
    """The setup whose run comes next by a plan, with its processor tuned, and the other one."""
    make_plan(bench, "quay", Terms(looks=(5, 8)), seed=7, now=NOW)
    plan = plan_now(bench, "quay")
    assert plan is not None
    due = plan.due[0].slot.setup
    (other,) = {now.slot.setup for now in plan.coming} - {due}
    for setup in (due, other):
        note_tuned(bench, {**TUNED, "setup": setup}, now=NOW)
    return due, other


def test_the_bench_says_that_the_machine_is_busy_and_of_no_other(bench: Desk, site: TestClient) -> None:
    due, other = planned(bench)
    site.post(HERE, json={**WORD, "setup": other})
    assert "Begin no run on it yet" not in site.get(BENCH).text
    site.post(HERE, json={**WORD, "setup": due, "key": "b"})
    text = site.get(BENCH).text
    (card,) = re.findall(r'<article class="next-run".*?</article>', text, flags=re.DOTALL)
    assert "Begin no run on it yet" in card
    assert "A trial of its processor has been running there since 09:00:00: 5,000 MHz at 1,050 mV" in words(
        card
    )
    assert "is busy with a trial: 5,000 MHz at 1,050 mV" in words(text)
    site.post(HERE, json={**WORD, "setup": due, "key": "b", "over": True})
    assert "Begin no run on it yet" not in site.get(BENCH).text


def test_the_rig_of_a_busy_machine_is_named_no_run(bench: Desk, site: TestClient) -> None:
    due, other = planned(bench)
    own, away = rig(bench, due), rig(bench, other)
    site.post(HERE, json={**WORD, "setup": other}, headers=away)
    assert site.get("/api/rig/next", headers=own).json()["run"] is not None, "another machine is busy"
    site.post(HERE, json={**WORD, "setup": due, "key": "b"}, headers=own)
    told = site.get("/api/rig/next", headers=own).json()
    assert told["run"] is None
    assert "A trial of its processor has been running there" in told["words"]
    site.post("/api/rig/trials", json=record(setup=due, key="b"), headers=own)
    assert site.get("/api/rig/next", headers=own).json()["run"] is not None


def test_while_names_are_hidden_the_bench_names_the_rig_alone(bench: Desk, site: TestClient) -> None:
    plan = make_plan(bench, "quay", Terms(looks=(5, 8)), seed=7, now=NOW)
    hide_names(bench, plan.id, by="this computer", now=NOW)
    site.post(HERE, json=WORD)
    said = words(site.get(f"{BENCH}/running").text)
    assert "A trial runs: this computer, processor" in said
    assert "Wren" not in said
    assert SHOWN not in words(site.get(TUNING).text)
    assert site.post(f"{BENCH}/stop", data={"key": "a"}).status_code == 200


def test_an_open_page_follows_it_from_its_first_word_to_its_record(bench: Desk, page: Page) -> None:
    with serving(bench) as served:
        page.goto(f"{served.url}{TUNING}")
        expect(page.locator("#running section")).to_have_count(0)
        page.request.post(f"{served.url}{HERE}", data={**WORD, "hours": 0.5})
        shown = page.locator("#running")
        expect(shown).to_contain_text("held for 30 min")
        page.request.post(f"{served.url}{HERE}", data={**WORD, "hours": 0.6})
        expect(shown).to_contain_text("held for 36 min")  # no change of the file told the page that
        shown.get_by_role("button", name="Stop this trial").click()
        expect(shown.get_by_role("status")).to_contain_text("A stop was asked for at")
        told = page.request.post(f"{served.url}{HERE}", data={**WORD, "hours": 0.6, "over": True})
        assert "stop button" in told.json()["stop"]
        expect(shown).to_contain_text("Its record is on its way")
        page.request.post(f"{served.url}/api/rig/trials", data=record(hours=0.6))
        expect(page.locator("#trials")).to_contain_text("was stopped after 36 min")
        expect(page.locator("#running section")).to_have_count(0)


def test_a_reason_that_is_being_typed_stays_while_the_part_asks_anew(bench: Desk, page: Page) -> None:
    heard_before(bench, 60, now=datetime.now(UTC))
    with serving(bench) as served:
        page.goto(f"{served.url}{TUNING}")
        page.get_by_text("No record of it will come").click()
        field = page.get_by_label("Why no record will come")
        field.fill("its disk is")
        for _ in range(2):  # with the second answer the first is in its place
            with page.expect_response(f"**{TUNING}/running*"):
                pass
        expect(field).to_have_value("its disk is")
        expect(field).to_be_visible()
        field.fill("its disk is gone")
        page.get_by_role("button", name="Tell it as running no more").click()
        expect(page.locator("#running section")).to_have_count(0)


def test_it_is_stopped_without_javascript(bench: Desk, browser: Browser) -> None:
    heard_before(bench, 3, now=datetime.now(UTC))
    with serving(bench) as served:
        context = browser.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False)
        plain = context.new_page()
        plain.goto(f"{served.url}{TUNING}")
        plain.get_by_role("button", name="Stop this trial").click()
        expect(plain.locator("#running")).to_contain_text("A stop was asked for at")
        context.close()
    found = told_of(bench, "a")
    assert found is not None
    assert found.stop_at is not None


def test_it_has_no_barriers_and_its_button_is_found_in_a_hurry(bench: Desk, page: Page, phone: Page) -> None:
    heard_before(bench, 60, now=datetime.now(UTC))
    with serving(bench) as served:
        for path in (TUNING, BENCH):
            for each in (page, phone):
                each.goto(f"{served.url}{path}")
                sound(each)
        box = phone.get_by_role("button", name="Stop this trial").bounding_box()
    assert box is not None
    assert box["height"] >= 60
    assert box["width"] >= 300


def test_after_a_stop_it_says_that_the_trial_ended_and_was_kept(bench: Desk, site: TestClient) -> None:
    site.post(HERE, json=WORD)
    site.post(f"{TUNING}/stop", data={"key": "a", "of": "wren~processor"})
    assert "was stopped as asked" not in words(site.get(f"{TUNING}/running").text)
    site.post("/api/rig/trials", json=record(hours=0.01))
    number = trials_of(bench, ["wren"])[-1].id
    for page in (TUNING, f"{TUNING}/running", BENCH, f"{BENCH}/running"):
        said = words(site.get(page).text)
        assert f"It was stopped as asked, and is kept as trial {number}: 5,000 MHz at 1,050 mV" in said
        assert "was stopped after 36 s" in said
