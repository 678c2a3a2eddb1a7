"""The bench: what landed is judged and decided about, what is next is shown, every slip can be mended."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.images.drawn import png
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import Served, axe_violations, too_wide

from evenhand.desk.deciding import set_aside
from evenhand.desk.landing import Filing, land_score
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.pages.bench import bench_page, line_of, places_open
from evenhand.desk.pages.bench_cards import last_readings
from evenhand.desk.plan_needs import Terms
from evenhand.desk.plan_standing import SlotNow, SlotState
from evenhand.desk.planning import make_plan, plan_now, replan, skip
from evenhand.desk.said import Said
from evenhand.records.plans import Slot
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.store import originals, shelves

BENCH = "/studies/spring/bench"
PIXEL = png()


@pytest.fixture
def planned(wb: Desk) -> Desk:
    """Spring: the Saltmarsh machines with a plan, two tests, two machines, and no run yet."""
    whole = shelves.one(wb, Study, "saltmarsh")
    spring = replace(
        whole,
        key="spring",
        title="In spring",
        setups=whole.setups[:2],
        tests=("regatta", "export"),
        weights={},
    )
    shelves.save(wb, spring, now=NOW)
    make_plan(wb, "spring", Terms(looks=(3, 5, 8)), seed=7, now=NOW)
    return wb


@pytest.fixture
def bench(planned: Desk) -> Iterator[TestClient]:
    with client_of(planned) as opened:
        yield opened


def due(wb: Desk) -> dict[str, str]:
    """The form fields of the first slot that is due."""
    plan = plan_now(wb, "spring")
    assert plan
    return {"plan": str(plan.plan.id), "slot": str(plan.due[0].slot.number)}


def test_without_a_plan_it_leads_to_one(wb: Desk) -> None:
    shelves.save(wb, replace(shelves.one(wb, Study, "saltmarsh"), key="bare", title="Bare"), now=NOW)
    with client_of(wb) as client:
        page = client.get("/studies/bare/bench").text
    assert "No bench day is planned yet." in page
    assert 'href="/studies/bare/bench/plan"' in page


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


def test_a_file_that_is_no_log_waits_in_the_inbox_and_says_why(planned: Desk, bench: TestClient) -> None:
    answer = bench.post(f"{BENCH}/file", data=due(planned), files={"log": ("odd.csv", b"hello there")})
    assert answer.status_code in (422, 409)
    assert "1 file could not be filed" in bench.get(BENCH).text


def test_a_warm_up_counts_down_on_every_screen(planned: Desk, bench: TestClient) -> None:
    page = bench.get(BENCH).text
    if "Begin the warm-up" not in page:
        pytest.skip("this plan has no warm-up")
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
    assert originals.names


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_is_sound_on_a_phone(phone: Page, planned: Desk, scheme: str) -> None:
    phone.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    with serving(planned) as served:
        phone.goto(f"{served.url}{BENCH}")
        expect(phone.get_by_role("heading", level=2).first).to_be_visible()
        assert axe_violations(phone) == []
        assert not too_wide(phone)


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


def land_slot(wb: Desk, slot: Slot) -> None:
    """A score under a slot."""
    filing = Filing(
        study="spring", test=slot.test, setup=slot.setup, score=61.0, plan=plan_id(wb), slot=slot.number,
        boot=slot.boot,
    )  # fmt: skip
    land_score(wb, filing, by="phone", now=NOW)


def test_of_a_plan_in_which_earlier_runs_count_it_is_not_said_that_nothing_has_landed(planned: Desk) -> None:
    def said() -> str:
        return bench_page(planned, "spring", now=NOW).nothing_yet

    assert said() == "Nothing has landed under this plan yet."
    land_export(planned, 61.0)
    replan(planned, "spring", seed=2, now=NOW)
    assert said() == "Nothing has landed since this plan was made; what was made before it counts."


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


def slots_of(wb: Desk) -> tuple[SlotNow, ...]:
    plan = plan_now(wb, "spring")
    assert plan
    return plan.slots


def plan_id(wb: Desk) -> int:
    plan = plan_now(wb, "spring")
    assert plan
    return plan.plan.id


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


def test_a_slot_that_comes_up_again_shows_no_number_of_the_run_that_was_set_aside(planned: Desk) -> None:
    land_export(planned, 61.0)
    run = load_study(planned, "spring").runs[-1].run.id
    set_aside(planned, run, reason="interrupted", said=Said(note="", now=NOW))
    plan = plan_now(planned, "spring")
    assert plan
    slot = next(each for each in plan.slots if each.run == run)
    assert slot.state.open
    assert line_of(load_study(planned, "spring"), plan, slot, mask=None).value == ""


def land_export(wb: Desk, score: float, *, wall_w: float | None = None) -> None:
    """A run of the first setup under its next open slot."""
    setup = load_study(wb, "spring").study.setups[0]
    wanted = ("export", setup)
    slot = next(n.slot for n in slots_of(wb) if (n.slot.test, n.slot.setup) == wanted and n.state.open)
    filing = Filing(
        study="spring", test="export", setup=setup, score=score, plan=plan_id(wb), slot=slot.number,
        boot=slot.boot, wall_w=wall_w,
    )  # fmt: skip
    land_score(wb, filing, by="phone", now=NOW)


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
