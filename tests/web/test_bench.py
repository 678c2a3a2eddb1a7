"""The bench: what landed is judged, what is next is shown, every slip can be mended."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

from playwright.sync_api import Page, Route, expect
from starlette.testclient import TestClient
from tests.images.drawn import png
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import sound
from tests.web.spring import BENCH, due, land_export, land_slot, plan_id, slots_of

from evenhand.desk.bench.landing import Filing, arrive, land_score
from evenhand.desk.bench.placing import note_waiting
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, plan_now, replan, skip
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.pages.bench import bench_page, places_open
from evenhand.desk.pages.bench_cards import last_readings
from evenhand.records.studies import Study
from evenhand.store import shelves

PIXEL = png()


def test_without_a_plan_it_leads_to_one(wb: Desk) -> None:
    shelves.save(wb, replace(shelves.one(wb, Study, "saltmarsh"), key="bare", title="Bare"), now=NOW)
    with client_of(wb) as client:
        page = client.get("/studies/bare/bench").text
    assert "No bench day is planned yet." in page
    assert 'href="/studies/bare/bench/plan"' in page


def test_where_nothing_can_be_planned_it_leads_to_what_is_missing(wb: Desk) -> None:
    shelves.save(wb, Study(key="bare", title="Bare", setups=(), tests=()), now=NOW)
    with client_of(wb) as client:
        page = client.get("/studies/bare/bench").text
    assert page.count("No bench day is planned yet.") == 1
    empty = page.partition('<section class="empty">')[2].partition("</section>")[0]
    assert "Next: say what is compared." in empty
    assert 'href="/studies/bare/builds"' in empty
    assert "Plan the bench day" not in empty


def test_the_next_run_is_shown_with_all_that_one_needs(planned: Desk, bench: TestClient) -> None:
    page = bench.get(BENCH).text
    plan = plan_now(planned, "spring")
    assert plan
    for now in plan.due:
        assert f'id="next-{plan.plan.id}-{now.slot.number}"' in page
        assert planned_name(planned, now.slot.test) in page
    assert "run 1 of" in page


def planned_name(wb: Desk, test: str) -> str:
    """What a test is called."""
    return load_study(wb, "spring").tests[test].name


def test_a_reading_is_kept_and_shown_again(planned: Desk, bench: TestClient) -> None:
    data = {**due(planned), "key": "ambient_c", "value": "24,6"}
    assert bench.post(f"{BENCH}/note", data=data, follow_redirects=False).status_code == 303
    assert 'value="24.6"' in bench.get(BENCH).text


def test_a_reading_that_is_none_is_refused_where_it_stands(planned: Desk, bench: TestClient) -> None:
    answer = bench.post(f"{BENCH}/note", data={**due(planned), "key": "wall_w", "value": "lots"})
    assert answer.status_code == 422
    field = answer.text.partition("wall_w-")[2]
    assert 'value="lots"' in field
    assert "is no power at the wall" in field


def test_a_score_lands_under_its_slot_and_the_next_one_comes(planned: Desk, bench: TestClient) -> None:
    plan = plan_now(planned, "spring")
    assert plan
    slot = next(now for now in plan.coming if now.slot.test == "export").slot
    data = {"plan": str(plan.plan.id), "slot": str(slot.number), "score": "13,1"}
    assert bench.post(f"{BENCH}/file", data=data, follow_redirects=False).status_code == 303
    (each,) = load_study(planned, "spring").runs
    assert (each.run.score, each.run.boot, each.run.order) == (13.1, slot.boot, slot.order)
    assert "Timeline export, run 1" in bench.get(BENCH).text


def test_a_file_that_is_no_log_waits_in_the_inbox_and_says_why(planned: Desk, bench: TestClient) -> None:
    answer = bench.post(f"{BENCH}/file", data=due(planned), files={"log": ("odd.csv", b"hello there")})
    assert answer.status_code in (422, 409)
    assert "1 file could not be filed" in bench.get(BENCH).text


def test_a_file_of_another_study_that_waits_is_told_as_that_studys_own(
    planned: Desk, bench: TestClient
) -> None:
    came = arrive(planned, b"frame,ms\n", name="a.csv", by="folder", about={"study": "saltmarsh"}, now=NOW)
    note_waiting(planned, came, "its columns are not known", study="saltmarsh", by="folder", now=NOW)
    title = shelves.one(planned, Study, "saltmarsh").title
    shown = bench.get(BENCH).text
    assert "could not be filed" not in shown
    assert f"One file of {title} waits in the inbox too." in shown
    assert "1 file could not be filed" in bench.get("/studies/saltmarsh/bench").text


def test_a_warm_up_counts_down_on_every_screen(planned: Desk, bench: TestClient) -> None:
    assert "Begin the warm-up" in bench.get(BENCH).text
    bench.post(f"{BENCH}/warm-up", data=due(planned))
    assert re.search(r'data-left="\d+"', bench.get(BENCH).text)
    bench.post(f"{BENCH}/warm-up", data={**due(planned), "stop": "yes"})
    assert not re.search(r'data-left="\d+"', bench.get(BENCH).text)


def test_a_slot_is_skipped_with_a_reason_only(planned: Desk, bench: TestClient) -> None:
    assert bench.post(f"{BENCH}/skip", data={**due(planned), "reason": " "}).status_code == 422
    before = due(planned)
    bench.post(f"{BENCH}/skip", data={**before, "reason": "the rig is out"})
    assert due(planned) != before


def test_a_skip_is_taken_back_by_the_bar_or_from_the_list(planned: Desk, bench: TestClient) -> None:
    before = due(planned)
    page = bench.post(f"{BENCH}/skip", data={**before, "reason": "the rig is out"}).text
    bar = re.search(r'class="done"[^>]*><span>([^<]+)</span><form [^>]*action="([^"]+)', page)
    assert bar
    assert bar[1].startswith("Run 1 of the plan, ")
    assert bar[1].endswith(": skipped")
    later = bench.get(BENCH).text
    assert 'class="done"' not in later
    listed = later.partition("<h3>Skipped</h3>")[2]
    assert "the rig is out" in listed
    assert f'action="{bar[2]}"' in listed
    assert "<h3>Skipped</h3>" not in bench.post(bar[2], data=before).text
    assert due(planned) == before


def test_a_photo_is_kept_and_shown_and_nothing_else_is(planned: Desk, bench: TestClient) -> None:
    answer = bench.post(f"{BENCH}/photo", data=due(planned), files={"photo": ("a.png", b"<svg onload=x>")})
    assert answer.status_code == 422
    assert "no picture that browsers show" in answer.text
    bench.post(f"{BENCH}/photo", data=due(planned), files={"photo": ("settings.png", PIXEL)})
    page = bench.get(BENCH).text
    shown = re.search(r'src="(/photos/\d+)"', page)
    assert shown
    picture = bench.get(shown[1])
    assert (picture.content, picture.headers["content-type"]) == (PIXEL, "image/png")
    assert "sandbox" in picture.headers["content-security-policy"]
    with planned.reading() as conn:
        assert conn.execute("SELECT count(*) FROM attachments").fetchone()[0] == 1


def test_with_one_rig_at_a_time_one_line_is_next(planned: Desk, bench: TestClient) -> None:
    page = bench.get(BENCH).text
    assert "One is next." in page
    assert page.count('<tr class="is-next">') == len(plan_now(planned, "spring").due) == 1  # type: ignore[union-attr]


def test_the_photo_stays_with_the_run_that_lands(planned: Desk, bench: TestClient) -> None:
    plan = plan_now(planned, "spring")
    assert plan
    slot = next(now.slot.number for now in plan.slots if now.slot.test == "export")
    data = {"plan": str(plan.plan.id), "slot": str(slot)}
    bench.post(f"{BENCH}/photo", data=data, files={"photo": ("settings.png", PIXEL)})
    bench.post(f"{BENCH}/file", data={**data, "score": "101.5"})
    landed = bench.get(BENCH).text.partition('id="landed"')[2].partition("</section>")[0]
    shown = re.search(r'src="(/photos/\d+)"', landed)
    assert shown
    run = load_study(planned, "spring").runs[0].run.id
    assert shown[1] in bench.get(f"/studies/spring/runs/{run}").text


def test_watts_read_once_the_run_has_landed_go_to_the_run_and_the_page_says_so(
    planned: Desk, bench: TestClient
) -> None:
    plan = plan_now(planned, "spring")
    assert plan
    slot = next(now.slot.number for now in plan.slots if now.slot.test == "export")
    data = {"plan": str(plan.plan.id), "slot": str(slot)}
    bench.post(f"{BENCH}/file", data={**data, "score": "101.5"})
    answer = bench.post(f"{BENCH}/note", data={**data, "key": "wall_w", "value": "287"})
    said = answer.text.partition(f'id="wall_w-{slot}-field"')[2].partition("</p>")[0]
    assert re.search(r"287.W is noted with [^<]+, Timeline export, run 1: it has landed meanwhile", said)
    run = load_study(planned, "spring").runs[0].run
    assert run.wall_w == 287.0
    own = {"run": run.id, "key": "wall_w"}
    field = bench.post(f"{BENCH}/note", data={**own, "value": "291,5"}).text
    assert 'value="291.5"' in field.partition(f'id="wall_w-{run.id}-field"')[2].partition("</form>")[0]
    assert "is no power" in bench.post(f"{BENCH}/note", data={**own, "value": "lots"}).text
    page = bench.post(f"{BENCH}/note", data={**own, "value": "300", "back": "run"}).text
    assert "300 W" in page.replace("\u00a0", " ").partition("Its conditions")[2]


def test_names_are_hidden_until_the_plan_is_done(planned: Desk, bench: TestClient) -> None:
    slot = due(planned)
    bench.post(f"{BENCH}/mask", data={"plan": slot["plan"], "masked": "yes"})
    page = bench.get(BENCH).text
    assert "Names are hidden until the plan is done." in page
    bench.post(f"{BENCH}/mask", data={"plan": slot["plan"]})
    assert "Names are hidden" not in bench.get(BENCH).text


def test_a_slot_that_is_none_is_told(bench: TestClient) -> None:
    assert bench.post(f"{BENCH}/note", data={"plan": "1", "slot": "x", "key": "note"}).status_code == 422
    assert bench.post(f"{BENCH}/warm-up", data={"plan": "999", "slot": "1"}).status_code == 404


def test_a_photo_of_nobody_is_told(bench: TestClient) -> None:
    assert bench.get("/photos/99").status_code == 404


def test_it_is_sound_on_a_phone(phone: Page, planned: Desk) -> None:
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        expect(phone.get_by_role("heading", level=2).first).to_be_visible()
        sound(phone)


def test_what_is_being_typed_survives_what_happens_elsewhere(page: Page, planned: Desk) -> None:
    with serving(planned) as served:
        page.goto(f"{served.url}{BENCH}")
        field = page.get_by_label("Room").first
        field.focus()
        page.keyboard.type("24.")
        page.wait_for_timeout(600)
        with client_of(planned) as other:
            other.post(f"{BENCH}/note", data={**due(planned), "key": "note", "value": "hello"})
        page.wait_for_timeout(1500)
        page.keyboard.type("6")
        expect(field).to_have_value("24.6")


def test_where_a_reading_went_whose_run_landed_meanwhile_stays_on_the_open_page(
    page: Page, planned: Desk
) -> None:
    shelves.save(planned, replace(shelves.one(planned, Study, "spring"), tests=("export",)), now=NOW)
    make_plan(planned, "spring", Terms(looks=(3, 5)), seed=7, now=NOW)
    with serving(planned) as served:
        page.goto(f"{served.url}{BENCH}")
        field = page.get_by_label("At the wall", exact=True).first
        field.focus()
        page.keyboard.type("287.5")
        plan = plan_now(planned, "spring")
        assert plan
        land_slot(planned, plan.due[0].slot)
        page.wait_for_timeout(1200)
        page.keyboard.press("Enter")
        told = page.locator("#told-late")
        expect(told).to_contain_text("W is noted with")
        page.wait_for_timeout(1500)
        expect(told).to_contain_text("it has landed meanwhile")
        page.get_by_label("Room", exact=True).first.press_sequentially("2")
        expect(told).to_be_empty()


def test_where_a_reading_went_is_told_also_where_its_field_is_gone_before_the_answer_comes(
    page: Page, planned: Desk
) -> None:
    shelves.save(planned, replace(shelves.one(planned, Study, "spring"), tests=("export",)), now=NOW)
    make_plan(planned, "spring", Terms(looks=(3, 5)), seed=7, now=NOW)
    plan = plan_now(planned, "spring")
    assert plan

    def slow(route: Route) -> None:
        land_slot(planned, plan.due[0].slot)
        answer = route.fetch()
        page.evaluate("document.querySelector('#next .next-run').remove()")
        route.fulfill(response=answer)

    with serving(planned) as served:
        page.goto(f"{served.url}{BENCH}")
        page.route("**/bench/note", slow)
        page.get_by_label("At the wall", exact=True).first.focus()
        page.keyboard.type("287.5")
        page.keyboard.press("Tab")
        expect(page.locator("#told-late")).to_contain_text("W is noted with")


def test_of_a_plan_in_which_earlier_runs_count_it_is_not_said_that_nothing_has_landed(planned: Desk) -> None:
    def said() -> str:
        return bench_page(planned, "spring", now=NOW).nothing_yet

    assert said() == "Nothing has landed under this plan yet."
    land_export(planned, 61.0)
    replan(planned, "spring", seed=2, now=NOW)
    assert said() == "Nothing has landed since this plan was made; what was made before it counts."


def test_hidden_names_say_what_is_not_hidden(planned: Desk, bench: TestClient) -> None:
    bench.post(f"{BENCH}/mask", data={"plan": due(planned)["plan"], "masked": "yes"})
    assert "Not hidden: the machine to run next, which has to be named." in bench.get(BENCH).text


def test_only_a_run_yet_to_be_made_has_a_place_that_a_rig_can_hold(planned: Desk) -> None:
    plan = plan_now(planned, "spring")
    assert plan
    due_now = plan.due[0].slot.number
    assert (plan.plan.id, due_now) in places_open(plan)
    skip(planned, plan.plan.id, due_now, "no power", by="desk", now=NOW)
    after = plan_now(planned, "spring")
    assert after
    assert (plan.plan.id, due_now) not in places_open(after)


def test_what_the_bench_says_of_siblings_is_what_the_run_says(planned: Desk, bench: TestClient) -> None:
    said = ("stands alone yet.", "of two, nobody can say which is odd.", "as these do from each other")
    for score, words in zip((61.0, 56.0, 48.0), said, strict=True):
        land_export(planned, score)
        assert words in bench.get(BENCH).text


def test_watts_stand_at_the_next_card_as_they_were_read(planned: Desk) -> None:
    land_export(planned, 61.0, wall_w=312.5)
    record = load_study(planned, "spring")
    rig = record.setups[record.study.setups[0]].build
    assert last_readings(record, rig)["wall_w"] == "312.5\N{NO-BREAK SPACE}W at its last run"


def test_a_clock_that_is_ahead_is_told_on_the_bench(planned: Desk, bench: TestClient) -> None:
    number, about = plan_id(planned), next(each for each in slots_of(planned) if each.slot.test == "export")
    filing = Filing(
        study="spring",
        test="export",
        setup=about.slot.setup,
        plan=number,
        slot=about.slot.number,
        score=61.0,
        started_at=NOW + timedelta(hours=1),
    )
    land_score(planned, filing, by="rig", now=NOW)
    page = bench.get(BENCH).text
    assert "The rig’s clock is in doubt" in page
    assert "as by summer time or a wrong time zone" in page
