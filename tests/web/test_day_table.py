"""The table of the day, on a phone, with a name as long as names are."""

from __future__ import annotations

from dataclasses import replace

from playwright.sync_api import Page, expect
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import axe_violations, too_wide

from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, plan_now
from evenhand.desk.opening import Desk
from evenhand.desk.pages.bench import bench_page
from evenhand.records.builds import Build, Setup
from evenhand.records.studies import Study
from evenhand.store import shelves


def test_a_long_name_leaves_the_result_its_room(phone: Page, wb: Desk) -> None:
    study = shelves.one(wb, Study, "saltmarsh")
    first = shelves.one(wb, Build, shelves.one(wb, Setup, study.setups[0]).build)
    shelves.save(wb, replace(first, name="Marsh & Daughters, second edition"), now=NOW)
    make_plan(wb, "saltmarsh", Terms(looks=(6, 8)), seed=7, now=NOW)
    with serving(wb) as served:
        phone.goto(f"{served.url}/studies/saltmarsh/bench")
        table = phone.locator(".day")
        expect(table).to_contain_text("Marsh & Daughters")
        assert table.evaluate("it => it.scrollWidth - it.parentElement.clientWidth") <= 0
        assert axe_violations(phone) == []
        assert not too_wide(phone)


def test_how_many_runs_come_after_those_of_the_table_is_said(wb: Desk) -> None:
    make_plan(wb, "saltmarsh", Terms(looks=(6, 8)), seed=7, now=NOW)
    plan = plan_now(wb, "saltmarsh")
    assert plan
    page = bench_page(wb, "saltmarsh", now=NOW)
    to_come = {plan.place(now.slot.number) for now in plan.coming}
    assert page.later == len(to_come - {line.place for line in page.lines}) > 0
    with client_of(wb) as client:
        assert f"{page.later} more come after these" in client.get("/studies/saltmarsh/bench").text
