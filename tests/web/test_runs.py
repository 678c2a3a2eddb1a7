"""The page of runs: what waits, decisions and their undoing, and two who decide at once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone

import pytest
from playwright.sync_api import Browser, Page, expect
from starlette.testclient import TestClient
from tests.web.conftest import client_of, looking_at
from tests.web.looking import Served, sound

from evenhand.desk.bench.masking import masked_id
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, present
from evenhand.desk.runs.asking import sight
from evenhand.desk.runs.deciding import find_run, keep, run_history
from evenhand.desk.runs.said import Said
from evenhand.records.runs import Reason, RunState

RUNS = "/studies/saltmarsh/runs"
CAPPED, OTHER_DRIVER, COPY = "Plover, Hollow Regatta 3", "Dunlin, Ember Parish 2", "tramlines-final-2"


def key(wb: Desk, label: str = CAPPED) -> str:
    return find_run(wb, label).run.id


def state(wb: Desk, label: str = CAPPED) -> RunState:
    return find_run(wb, label).state


def send(client: TestClient, wb: Desk, verb: str, label: str = CAPPED, **about: str) -> tuple[int, str]:
    """A form sent without script: the status and the page it ends on."""
    answer = client.post(f"{RUNS}/{key(wb, label)}/{verb}", data={"back": RUNS, **about})
    return answer.status_code, answer.text


# --- what is shown


def test_it_opens_with_how_many_landed_and_how_many_wait(client: TestClient) -> None:
    page = client.get(RUNS).text
    assert "158 runs landed. 153 are clean; the other five wait for you." in page
    assert page.count('id="run-') == 5
    assert "Held at a fixed rate" in page
    assert "Page 1 of 4" in page


@pytest.mark.parametrize(
    ("show", "cards", "rows"),
    [
        ("all", 5, 50),
        ("faults", 5, 0),
        ("wait", 5, 0),
        ("decided", 0, 0),
        ("clean", 0, 50),
        ("nonsense", 5, 50),
    ],
)
def test_chips_leave_what_they_say(client: TestClient, show: str, cards: int, rows: int) -> None:
    page = client.get(f"{RUNS}?show={show}").text
    assert page.count('id="run-') == cards
    assert page.count('<th scope="row">') == rows
    assert page.count('aria-current="true"') == 1


def test_leafing_shows_every_clean_run_once(client: TestClient) -> None:
    pages = [client.get(f"{RUNS}?show=clean&page={number}").text for number in (1, 2, 3, 4)]
    found = [run for page in pages for run in re.findall(rf'<th scope="row"><a href="{RUNS}/(\w+)"', page)]
    assert len(found) == len(set(found)) == 153


def test_columns_put_the_rows_in_order_both_ways(client: TestClient) -> None:
    def orders(down: str) -> list[int]:
        page = client.get(f"{RUNS}?show=clean&sort=order{down}").text
        return [int(n) for n in re.findall(r'<td class="n">(\d+)</td>', page)]

    assert orders("") == sorted(orders(""))
    assert orders("&down=1") == sorted(orders("&down=1"), reverse=True)
    assert orders("&down=1")[0] > orders("")[0]
    assert 'aria-sort="ascending"' in client.get(f"{RUNS}?sort=order").text


def test_what_is_asked_in_nonsense_is_answered_as_usual(client: TestClient) -> None:
    assert client.get(f"{RUNS}?page=²&sort=;drop&also=-9&done=nobody&show[]=x").status_code == 200


def test_an_empty_study_leads_on(client: TestClient, wb: Desk) -> None:
    from dataclasses import replace

    from evenhand.store import shelves

    study = load_study(wb, "saltmarsh").study
    shelves.save(wb, replace(study, key="autumn"), now=present())
    page = client.get("/studies/autumn/runs").text
    assert "No run has landed yet." in page
    assert "Go to the bench" in page


def test_the_small_picture_is_asked_for_by_itself(client: TestClient, wb: Desk) -> None:
    answer = client.get(f"{RUNS}/{key(wb)}/small")
    assert answer.text.startswith("<svg")
    assert "Held at a fixed rate" in answer.text


# --- decisions without script


def test_a_run_is_kept_and_the_bar_offers_to_undo_it(client: TestClient, wb: Desk) -> None:
    status, page = send(client, wb, "keep", seen=sight(find_run(wb, CAPPED)))
    assert (status, state(wb)) == (200, RunState.KEPT)
    assert f"{CAPPED}: kept." in page
    assert "Decided, and can be undone" in page
    _, page = send(client, wb, "reopen")
    assert f"{CAPPED}: waits again." in page
    assert state(wb) is RunState.IN_DOUBT


def test_all_reasons_are_offered_with_their_meanings_a_fitting_one_first(
    client: TestClient, wb: Desk
) -> None:
    page = client.get(RUNS).text
    form = page.partition(f'id="set-aside-reason-{key(wb)}"')[2].partition("</select>")[0]
    offered = re.findall(r'<option value="([^"]+)"', form)
    assert sorted(offered) == sorted(reason.value for reason in Reason)
    assert offered[0] == "rate-cap"
    assert "A limiter or a screen held the rate" in form
    assert "selected" not in form


def test_setting_aside_asks_for_a_reason_where_it_is_missing_and_keeps_the_note(
    client: TestClient, wb: Desk
) -> None:
    status, page = send(client, wb, "set-aside", note="the limiter <was> on")
    assert status == 422
    assert "Choose a reason" in page
    assert "the limiter &lt;was&gt; on</textarea>" in page
    assert 'name="ask-' in page
    assert state(wb) is RunState.IN_DOUBT


def test_keeping_over_a_blocking_fault_asks_for_a_note_where_it_is_missing(
    client: TestClient, wb: Desk
) -> None:
    status, page = send(client, wb, "keep", COPY)
    assert status == 422
    assert "“Same recording as another run” blocks this run: say why it counts all the same." in page
    status, _ = send(client, wb, "keep", COPY, note="it is the first one that is the copy")
    assert (status, state(wb, COPY)) == (200, RunState.KEPT)


def test_a_run_made_again_stands_in(client: TestClient, wb: Desk) -> None:
    status, page = send(client, wb, "replace", by=key(wb, "Plover, Hollow Regatta 4"))
    assert (status, state(wb)) == (200, RunState.REPLACED)
    assert f"{CAPPED}: replaced." in page


def test_redoing_sets_aside_and_leads_to_the_bench(client: TestClient, wb: Desk) -> None:
    answer = client.post(
        f"{RUNS}/{key(wb)}/set-aside",
        data={"reason": "rate-cap", "then": "bench", "back": RUNS},
        follow_redirects=False,
    )
    assert (answer.status_code, answer.headers["location"]) == (303, "/studies/saltmarsh/bench")


@pytest.mark.parametrize(
    "back", ["//elsewhere.example/x", "https://elsewhere.example", "/studies/other/runs", "x"]
)
def test_a_decision_leads_nowhere_else(client: TestClient, wb: Desk, back: str) -> None:
    answer = client.post(f"{RUNS}/{key(wb)}/keep", data={"back": back}, follow_redirects=False)
    assert answer.headers["location"] == f"{RUNS}?done={key(wb)}"


def test_an_unknown_run_and_an_unknown_decision_are_told(client: TestClient, wb: Desk) -> None:
    assert client.post(f"{RUNS}/0123456789/keep", data={}).status_code == 404
    assert client.post(f"{RUNS}/{key(wb)}/burn", data={}).status_code == 422


# --- two devices


def test_the_second_of_two_sees_the_decision_of_the_first_and_overwrites_nothing(
    client: TestClient, wb: Desk
) -> None:
    seen = sight(find_run(wb, CAPPED))
    send(client, wb, "set-aside", reason="rate-cap", note="limiter on", seen=seen)
    status, page = send(client, wb, "keep", note="looked fine to me", seen=seen)
    assert status == 409
    assert (
        "Meanwhile this run stands otherwise: it was set aside: a limiter or a screen held the rate" in page
    )
    assert "Your decision was not stored." in page
    assert "You had written: “looked fine to me”" in page
    assert [d.state for d in run_history(wb, key(wb)).decisions] == [RunState.SET_ASIDE]


def test_a_refusal_is_seen_even_where_its_run_is_no_longer_listed(client: TestClient, wb: Desk) -> None:
    seen, back = sight(find_run(wb, CAPPED)), f"{RUNS}?show=wait"
    send(client, wb, "keep", seen=seen)
    _, page = send(client, wb, "set-aside", reason="rate-cap", seen=seen, back=back)
    assert "<h2>Not stored</h2>" in page
    assert "it was kept, and counts" in page


# --- names hidden


def test_hidden_names_are_on_no_part_of_the_page(client: TestClient, wb: Desk) -> None:
    page = client.get(f"{RUNS}?masked=1").text
    listed = page.partition('id="runs"')[2]
    for name in ("Wren", "Plover", "Dunlin", CAPPED, key(wb), "boot "):
        assert name not in listed, name
    assert masked_id(key(wb)) in listed
    small = client.get(f"{RUNS}/{masked_id(key(wb))}/small?masked=1").text
    assert "Plover" not in small


def test_hidden_runs_stand_in_an_order_that_tells_nothing(client: TestClient) -> None:
    page = client.get(f"{RUNS}?masked=1").text
    letters = re.findall(r"</svg>([A-Z])</span><br><b>([^<]+)</b>", page)
    assert len(letters) == 5
    by_test = [test for _, test in letters]
    assert len(set(by_test)) == len(by_test) or letters == sorted(letters)


def test_a_decision_under_hidden_names_is_marked_so(client: TestClient, wb: Desk) -> None:
    code = masked_id(key(wb))
    about = {"masked": "yes", "back": f"{RUNS}?masked=1", "reason": "rate-cap"}
    page = client.post(f"{RUNS}/{code}/set-aside", data=about)
    assert page.status_code == 200
    assert f"Run {code}: set aside." in page.text
    assert [d.masked for d in run_history(wb, key(wb)).decisions] == [True]
    assert "Names were hidden." in client.get(f"{RUNS}/{key(wb)}").text


# --- in a browser


def leave(page: Page) -> None:
    """Goes from the page before its server does: what it asks for meanwhile would be told as trouble."""
    page.goto("about:blank")


def test_a_run_is_decided_about_by_keyboard_and_undone(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{RUNS}?show=wait")
    card = page.locator(f"#run-{key(served.wb)}")
    card.locator("summary", has_text="Set aside").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("A lim")
    page.keyboard.press("Tab")
    page.keyboard.type("limiter left on")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator("#done")).to_have_text(re.compile("set aside"), timeout=20_000)
    expect(page.locator("#done")).to_be_focused()
    decided = find_run(served.wb, CAPPED).decision
    assert decided is not None
    assert (decided.reason, decided.note) == (Reason.RATE_CAP, "limiter left on")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator("#done")).to_have_text(re.compile("waits again"), timeout=20_000)
    assert state(served.wb) is RunState.IN_DOUBT
    leave(page)


def test_a_run_is_decided_about_by_touch(phone: Page, served: Served) -> None:
    phone.goto(f"{served.url}{RUNS}?show=wait")
    phone.locator(f"#run-{key(served.wb, OTHER_DRIVER)}").get_by_role("button", name="Keep").tap()
    expect(phone.locator("#done")).to_have_text(re.compile("kept"), timeout=20_000)
    assert state(served.wb, OTHER_DRIVER) is RunState.KEPT
    leave(phone)


def test_what_is_typed_survives_another_devices_decision_and_a_late_one_is_refused(
    page: Page, served: Served
) -> None:
    page.goto(f"{served.url}{RUNS}?show=wait")
    card = page.locator(f"#run-{key(served.wb)}")
    card.locator("summary", has_text="Set aside").click()
    card.locator("textarea:visible").fill("half a sen")
    keep(served.wb, CAPPED, said=Said(note="the phone was first", now=present()))
    expect(page.locator("#news")).to_be_visible(timeout=10_000)
    expect(card.locator("textarea:visible")).to_have_value("half a sen")
    card.locator("select:visible").select_option("rate-cap")
    card.get_by_role("button", name="Set it aside").click()
    expect(page.locator(".not-stored")).to_contain_text("it was kept, and counts", timeout=20_000)
    expect(page.locator(".not-stored")).to_contain_text("half a sen")
    assert state(served.wb) is RunState.KEPT
    leave(page)


def test_a_decision_elsewhere_shows_by_itself(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{RUNS}?show=wait")
    page.wait_for_timeout(500)
    keep(served.wb, CAPPED, said=Said(note="", now=present()))
    expect(page.get_by_role("heading", level=1)).to_contain_text("of the other five, four wait")
    leave(page)


@pytest.fixture(params=[(1440, 900), (390, 844)])
def looking(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Page]:
    """A page of either size."""
    width, height = request.param
    with looking_at(browser, width=width, height=height, touch=width < 500) as page:
        yield page


def test_it_is_sound_at_every_size_in_light_and_dark(looking: Page, served: Served) -> None:
    for query in ("", "?show=wait", "?masked=1"):
        looking.goto(f"{served.url}{RUNS}{query}")
        looking.wait_for_timeout(300)
        looking.locator("details.ask summary").last.click()
        sound(looking)


def test_times_are_by_the_clock_that_the_site_was_given(wb: Desk) -> None:
    def clock(at: datetime) -> datetime:
        return at.astimezone(timezone(timedelta(hours=5, minutes=30)))

    with client_of(wb, clock=clock) as client:
        for place in (RUNS, f"{RUNS}/{load_study(wb, 'saltmarsh').runs[0].run.id}"):
            shown = client.get(place).text
            assert shown.count("by this computer’s clock, UTC+05:30") == 1, place
            assert "(stamped 09:05 UTC)" in shown, place


def test_a_row_of_the_table_shows_build_and_test_once(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/runs?show=clean")
    link = page.get_by_role("link", name="Wren, Salt Causeway 1", exact=True)
    assert link.locator(".vh").inner_text().strip() == "Wren, Salt Causeway"
    assert (link.bounding_box() or {})["width"] >= 44
