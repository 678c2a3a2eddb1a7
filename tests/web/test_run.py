"""One run: numbers with what they mean, its frames by pointer and keyboard, its files as they came."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect
from starlette.testclient import TestClient
from tests.web.conftest import looking_at
from tests.web.looking import Served, sound

from evenhand.desk.bench.masking import masked_id
from evenhand.desk.opening import Desk, present
from evenhand.desk.runs.asking import sight
from evenhand.desk.runs.deciding import find_run, set_aside
from evenhand.desk.runs.said import Said
from evenhand.store import originals

RUNS = "/studies/saltmarsh/runs"
CAPPED, SCORED = "Plover, Hollow Regatta 3", "Wren, Timeline export 1"


def place(wb: Desk, label: str = CAPPED) -> str:
    return f"{RUNS}/{find_run(wb, label).run.id}"


def test_it_opens_with_its_number_and_where_it_stands(client: TestClient, wb: Desk) -> None:
    page = client.get(place(wb)).text.replace("\u00a0", " ")
    assert f"{CAPPED}: 143.9 fps, average frame rate. It waits for you: held at a fixed rate." in page
    assert "1000 times the number of frames, divided by the sum of their frame times in ms." in page
    assert "within this run only" in page
    assert "No 0.1% low: needs 10,000 frames" in page


def test_what_takes_a_moment_is_asked_for_by_itself_and_is_there_for_who_asks(
    client: TestClient, wb: Desk
) -> None:
    assert "Show the evidence</a>" in client.get(place(wb)).text
    page = client.get(f"{place(wb)}?whole=1").text
    assert "Held at 144.0\u00a0fps" in page
    assert "What could not be judged" in page
    assert "Fans and full memory: the sensor log holds no such channel." in page
    assert "Came as logs/plover/regatta-3.csv." in page
    assert "Nothing yet." in page


def test_every_decision_is_on_show_with_what_was_on_show_then(client: TestClient, wb: Desk) -> None:
    set_aside(wb, CAPPED, reason="rate-cap", said=Said(note="<limiter> on", now=present()))
    page = client.get(f"{place(wb)}?whole=1").text
    assert "Set aside: a limiter or a screen held the rate. “&lt;limiter&gt; on”" in page
    assert "On show then: Held at a fixed rate" in page
    assert "It is set aside and does not count." in page


def test_a_score_run_has_numbers_and_no_frames(client: TestClient, wb: Desk) -> None:
    page = client.get(place(wb, SCORED)).text
    assert "jobs/h" in page
    assert "Frame by frame" not in page


def test_its_log_comes_as_it_came_and_is_never_shown(client: TestClient, wb: Desk) -> None:
    run = find_run(wb, CAPPED).run
    answer = client.get(f"{place(wb)}/log")
    assert answer.content == originals.original(wb, run.log or "")
    assert answer.headers["content-disposition"] == 'attachment; filename="regatta-3.csv"'
    assert answer.headers["content-type"] == "application/octet-stream"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert client.get(f"{place(wb, SCORED)}/sensors").status_code == 404


def test_its_trace_is_a_picture_for_pages_without_script(client: TestClient, wb: Desk) -> None:
    answer = client.get(f"{place(wb)}/trace.svg")
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert "script" not in answer.headers["content-security-policy"]
    assert "Frame times of Plover in Hollow Regatta" in answer.text


def test_a_run_of_another_study_is_not_shown_here(client: TestClient, wb: Desk) -> None:
    assert client.get(place(wb).replace("saltmarsh", "nowhere")).status_code == 404
    assert client.get(f"{RUNS}/nobody").status_code == 404


def test_a_decision_is_made_on_its_page_and_a_stale_one_refused_there(client: TestClient, wb: Desk) -> None:
    seen = sight(find_run(wb, CAPPED))
    about = {"seen": seen, "back": place(wb)}
    assert f"{CAPPED}: kept." in client.post(f"{place(wb)}/keep", data=about).text
    late = client.post(f"{place(wb)}/set-aside", data={**about, "reason": "rate-cap", "note": "too late"})
    assert late.status_code == 409
    assert "it was kept, and counts" in late.text
    assert "Its numbers" in late.text


def test_hidden_names_leave_nothing_but_what_was_found(client: TestClient, wb: Desk) -> None:
    code = masked_id(find_run(wb, CAPPED).run.id)
    page = client.get(f"{RUNS}/{code}?masked=1&whole=1").text.partition('id="runs"')[2]
    assert "Held at a fixed rate" in page
    for told in ("Plover", "Its numbers", "regatta-3.csv", "143.9\u00a0fps"):
        assert told not in page, told


# --- in a browser


def test_frames_are_read_by_keyboard_and_looked_at_nearer(page: Page, served: Served) -> None:
    page.goto(served.url + place(served.wb))
    slider = page.get_by_role("slider", name="Read at")
    slider.focus()
    page.keyboard.press("Home")
    expect(page.locator(".read")).to_contain_text("siblings")
    first = page.locator(".traced output").inner_text()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    expect(page.locator(".traced output")).not_to_have_text(first)
    page.keyboard.press("End")
    whole = float(page.locator(".traced output").inner_text().split()[0])
    page.keyboard.press("Home")
    page.get_by_role("button", name="Nearer").click()
    slider.focus()
    expect(page.locator(".traced output")).not_to_have_text(first)
    page.keyboard.press("End")
    assert float(page.locator(".traced output").inner_text().split()[0]) < 0.6 * whole
    page.get_by_text("What sensors read meanwhile").click()
    expect(page.get_by_role("img", name="Processor clock over the run")).to_be_visible()
    page.goto("about:blank")


def test_evidence_comes_by_itself(page: Page, served: Served) -> None:
    page.goto(served.url + place(served.wb))
    expect(page.locator("#behind svg").first).to_be_visible(timeout=20_000)
    expect(page.get_by_role("heading", name="What could not be judged")).to_be_visible()
    page.goto("about:blank")


def test_without_script_the_picture_stands_in(browser: Browser, served: Served) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1000, "height": 900})
    page = context.new_page()
    page.goto(served.url + place(served.wb))
    picture = page.locator("img.drawn-whole")
    expect(picture).to_be_visible()
    box = picture.bounding_box()
    assert box is not None
    assert box["height"] > 100
    context.close()


@pytest.mark.parametrize("size", [(1440, 900), (390, 844)])
def test_it_is_sound_at_every_size_in_light_and_dark(
    browser: Browser, served: Served, size: tuple[int, int]
) -> None:
    with looking_at(browser, width=size[0], height=size[1], touch=size[0] < 500) as page:
        page.goto(f"{served.url}{place(served.wb)}?whole=1")
        expect(page.locator(".read")).not_to_be_empty()
        page.locator("#runs td + th details, #runs th details").first.click()
        sound(page)
        page.goto("about:blank")
