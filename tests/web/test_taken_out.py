"""What is taken out of a planned study takes its runs out of the plan, and no page with it."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient
from tests.web.spring import land_slot

from evenhand.desk.bench.plan_standing import SlotState
from evenhand.desk.bench.planning import plan_now
from evenhand.desk.opening import Desk

SPRING = "/studies/spring"
OWN = "brief builds tuning bench bench/plan bench/sheet runs compare causes verdict publish"
LIVE = ("/api/studies/spring/live", "/api/studies/spring/plan")
PAGES = ("/", "/inbox", *LIVE, *(f"{SPRING}/{page}" for page in OWN.split()))
TAKEN = [("builds", "setups", "dunlin-mild"), ("brief", "tests", "export")]


def slots(wb: Desk) -> set[str]:
    plan = plan_now(wb, "spring")
    return {each for now in plan.slots for each in (now.slot.test, now.slot.setup)} if plan else set()


@pytest.mark.parametrize(("page", "sort", "key"), TAKEN)
def test_a_setup_or_test_without_runs_takes_its_planned_runs_with_it(
    bench: TestClient, planned: Desk, page: str, sort: str, key: str
) -> None:
    assert key in slots(planned)
    assert bench.post(f"{SPRING}/{page}/{sort}/{key}/drop").status_code == 200
    assert {path: bench.get(path).status_code for path in PAGES} == dict.fromkeys(PAGES, 200)
    assert key not in slots(planned)


@pytest.mark.parametrize(("page", "sort", "key"), TAKEN)
def test_undone_the_plan_stands_as_before(
    bench: TestClient, planned: Desk, page: str, sort: str, key: str
) -> None:
    before = plan_now(planned, "spring")
    done = bench.post(f"{SPRING}/{page}/{sort}/{key}/drop").text
    (form,) = re.findall(rf'<form method="post" action="{SPRING}/undo">.*?</form>', done, flags=re.DOTALL)
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
    assert bench.post(f"{SPRING}/undo", data=fields).status_code == 200
    assert plan_now(planned, "spring") == before


@pytest.mark.parametrize(("page", "sort", "key"), TAKEN)
def test_one_with_runs_is_not_asked_for_any_more(
    bench: TestClient, planned: Desk, page: str, sort: str, key: str
) -> None:
    plan = plan_now(planned, "spring")
    assert plan
    export = next(
        now.slot for now in plan.slots if (now.slot.test, now.slot.setup) == ("export", "dunlin-mild")
    )
    land_slot(planned, export)
    bench.post(f"{SPRING}/{page}/{sort}/{key}/drop")
    assert {path: bench.get(path).status_code for path in PAGES} == dict.fromkeys(PAGES, 200)
    left = plan_now(planned, "spring")
    assert left
    own = [now for now in left.slots if key in (now.slot.test, now.slot.setup)]
    assert {now.state for now in own} == {SlotState.DONE, SlotState.SETTLED}
    assert not [now for now in left.coming if key in (now.slot.test, now.slot.setup)]
