"""The plan in the browser: looked at before it is made, made, planned anew, undone; and its run sheet."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient
from tests.web.conftest import NOW
from tests.web.looking import Served, axe_violations, sound, too_wide

from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, plan_now, skip
from evenhand.desk.opening import Desk
from evenhand.records.builds import Build, Setup
from evenhand.records.studies import Study
from evenhand.store import shelves

PLAN = "/studies/spring/bench/plan"
SHEET = "/studies/spring/bench/sheet"


@pytest.fixture
def wb(wb: Desk) -> Desk:
    """The workbench with a second study of the same machines, which has no runs yet."""
    study = shelves.one(wb, Study, "saltmarsh")
    shelves.save(wb, replace(study, key="spring", title="Spring bench days"), now=NOW)
    return wb


def test_before_a_plan_is_made_it_can_be_looked_at(client: TestClient, wb: Desk) -> None:
    text = client.get(PLAN).text
    assert "It would take at most 216 runs, 28\u00a0h 24\u00a0min over eight days; 3\u00a0% shows in" in text
    assert "Make this plan" in text
    assert plan_now(wb, "spring") is None


def test_other_terms_show_another_plan(client: TestClient) -> None:
    text = client.get(PLAN, params={"looks": "5", "at_once": "3", "warm_up": "1,5"}).text
    assert "It would take 135 runs" in text
    assert "Results are looked at once, at 5 runs of each" in text
    assert "Rigs that run at once take the same test at the same time" in text
    assert "take turns" not in text
    assert '<option value="5" selected>Once, at 5 runs of each</option>' in text


def test_what_was_looked_at_is_what_is_made(client: TestClient, wb: Desk) -> None:
    page = client.post(PLAN, data={"looks": "3,5", "seed": "7"})
    assert page.url.path == PLAN
    assert "At most 135 runs" in page.text
    assert "This plan stands now." in page.text
    standing = plan_now(wb, "spring")
    assert standing is not None
    assert (standing.plan.looks, standing.plan.seed) == ((3, 5), 7)


@pytest.mark.parametrize(
    ("name", "wrong", "said"),
    [
        ("warm_up", "long", "Write a number from 0 to 120."),
        ("at_once", "1,5", "Write a whole number from 1 to 8."),
        ("day", "0", "Write a number from 0.5 to 24."),
    ],
)
def test_a_mistake_stands_at_its_field(client: TestClient, name: str, wrong: str, said: str) -> None:
    page = client.post(PLAN, data={name: wrong})
    assert page.status_code == 422
    assert said in page.text
    assert f'value="{wrong}"' in page.text


def test_looks_that_nobody_calibrated_are_told(client: TestClient) -> None:
    assert "no levels are known for looks at 2, 20 runs".capitalize() in client.get(f"{PLAN}?looks=2,20").text


def test_a_study_whose_tests_are_settled_says_so_and_shows_looks_that_lie_ahead(client: TestClient) -> None:
    asked = client.get("/studies/saltmarsh/bench/plan", params={"looks": "3,5,8"}).text
    assert "No bench day is planned." in asked
    assert "With these terms there is nothing to plan." in asked
    text = client.get("/studies/saltmarsh/bench/plan").text
    assert re.search(r"It would take \d+ runs", text)
    assert '<option value="8" selected>' in text
    assert "With these terms there is nothing to plan." not in text
    assert "ith looks at 3, 5 and 8 runs of each the runs on record, 5 of each, settle every test" in text


def test_a_rig_that_drops_out_leaves_a_plan_for_the_rest_and_can_be_undone(
    client: TestClient, wb: Desk
) -> None:
    client.post(PLAN, data={"looks": "3,5"})
    page = client.post(f"{PLAN}/again", data={"without": "wren"})
    assert "90 runs" in page.text
    first = plan_now(wb, "spring")
    assert first is not None
    assert {slot.rig for slot in first.slots} == {"plover", "dunlin"}
    assert without_ticked(page.text) == ["wren"]
    undone = client.post(f"{PLAN}/back", data={"plan": str(first.plan.id - 1)})
    assert "135 runs" in undone.text


def test_where_nothing_is_left_to_plan_the_plan_stays_in_sight(client: TestClient, wb: Desk) -> None:
    client.post(PLAN, data={"looks": "3,5"})
    answer = client.post(f"{PLAN}/again", data={"without": ["wren", "plover", "dunlin"]})
    assert answer.status_code == 422
    assert "No other plan was made: fewer than two setups are left to compare." in answer.text
    assert "135 runs" in answer.text
    assert 'name="without"' in answer.text
    answer = client.post("/studies/saltmarsh/bench/plan", data={"looks": "3"})
    assert answer.status_code == 422
    assert "No other plan was made: nothing is left to run" in answer.text


def without_ticked(page: str) -> list[str]:
    """The rigs that the form leaves out as it stands."""
    return re.findall(r'name="without" value="([^"]+)" checked', page)


def test_a_dropped_rig_stays_out_until_somebody_lets_it_back(client: TestClient, wb: Desk) -> None:
    assert without_ticked(client.post(PLAN, data={"looks": "3,5"}).text) == []
    client.post(f"{PLAN}/again", data={"without": "wren"})
    again = {"without": without_ticked(client.get(PLAN).text)}
    assert "90 runs" in client.post(f"{PLAN}/again", data=again).text
    assert "135 runs" in client.post(f"{PLAN}/again").text
    assert without_ticked(client.get(PLAN).text) == []


def test_a_first_plan_can_be_taken_back(client: TestClient, wb: Desk) -> None:
    page = client.post(PLAN, data={"looks": "3"})
    assert '<input type="hidden" name="plan" value="0">' in page.text
    undone = client.post(f"{PLAN}/back", data={"plan": "0"})
    assert "It would take" in undone.text
    assert plan_now(wb, "spring") is None
    assert "81 runs" in client.post(PLAN, data={"looks": "3"}).text


def test_a_plan_of_another_study_is_not_brought_back(client: TestClient) -> None:
    assert client.post(f"{PLAN}/back", data={"plan": "99"}).status_code == 404
    assert client.post(f"{PLAN}/back", data={}).status_code == 422


def test_the_sheet_has_a_box_for_every_run(client: TestClient, wb: Desk) -> None:
    make_plan(wb, "spring", Terms(looks=(3,)), seed=1, now=NOW)
    text = client.get(SHEET).text
    assert text.count('aria-label="to be made"') == 81
    assert "Boot each afresh before its first run" in text
    assert "rated for the load" in text


def test_a_skipped_run_is_struck_out_with_its_reason(client: TestClient, wb: Desk) -> None:
    plan = make_plan(wb, "spring", Terms(looks=(3,)), seed=1, now=NOW)
    skip(wb, plan.id, 4, "<b>spilt</b> tea", by="phone", now=NOW)
    text = client.get(SHEET).text
    assert text.count('aria-label="to be made"') == 80
    assert "&lt;b&gt;spilt&lt;/b&gt; tea" in text


def test_with_two_rigs_it_says_why_neither_can_be_dropped(client: TestClient, wb: Desk) -> None:
    study = shelves.one(wb, Study, "spring")
    shelves.save(wb, replace(study, setups=study.setups[:2]), now=NOW)
    text = client.post(PLAN, data={"looks": "3"}).text
    assert "A rig dropped out?" in text
    assert re.search("Without [A-Z][a-z]+ or [A-Z][a-z]+ there is nothing to compare with", text)
    assert 'name="without"' not in text


def test_a_rig_is_offered_only_where_two_setups_are_left_without_it(client: TestClient, wb: Desk) -> None:
    study = shelves.one(wb, Study, "spring")
    first, second = (shelves.one(wb, Setup, key) for key in study.setups[:2])
    shelves.save(wb, replace(second, key="mild", name="Mild"), now=NOW)
    shelves.save(wb, replace(study, setups=(first.key, second.key, "mild")), now=NOW)
    text = client.post(PLAN, data={"looks": "3"}).text
    assert re.findall(r'name="without" value="([^"]+)"', text) == [first.build]
    name = shelves.one(wb, Build, second.build).name
    assert f"{name} cannot be planned without: fewer than two setups would be left to compare." in text


def test_without_a_plan_there_is_no_sheet(client: TestClient) -> None:
    page = client.get(SHEET)
    assert page.status_code == 404
    assert "” has no plan to print" in page.text


def test_they_are_sound_in_a_browser(page: Page, served: Served) -> None:
    make_plan(served.wb, "spring", Terms(looks=(2,)), seed=1, now=NOW)
    for path in (PLAN, SHEET):
        page.goto(served.url + path)
        sound(page)


def test_the_plan_fits_a_phone(phone: Page, served: Served) -> None:
    make_plan(served.wb, "spring", Terms(looks=(2,)), seed=1, now=NOW)
    for path in (PLAN, SHEET):
        phone.goto(served.url + path)
        assert axe_violations(phone) == []
        assert not too_wide(phone)
