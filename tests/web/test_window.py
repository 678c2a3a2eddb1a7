"""Trimming on a run's page: looked at before, cut for every run or for one with a reason, undone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, sound

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, present
from evenhand.desk.runs.cutting import cut_run, cut_test
from evenhand.desk.runs.deciding import find_run
from evenhand.records.windows import Window

RUNS = "/studies/saltmarsh/runs"
RUN, SCORED = "Plover, Hollow Regatta 2", "Wren, Timeline export 1"
FORM = {"start_s": "5,0", "end_s": "45", "scope": "every", "reason": "", "seen": ""}


def place(wb: Desk, label: str = RUN) -> str:
    return f"{RUNS}/{find_run(wb, label).run.id}"


def plain(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


def window(wb: Desk) -> Window | None:
    return load_study(wb, "saltmarsh").tests[find_run(wb, RUN).run.test].window


def test_it_says_what_is_measured(client: TestClient, wb: Desk) -> None:
    assert "All of the log is measured, as of every run of Hollow Regatta." in client.get(place(wb)).text
    cut_test(wb, find_run(wb, RUN).run.test, Window(start_s=5, reason="it loads", by="Ada"), now=present())
    page = plain(client.get(place(wb)).text)
    assert (
        "Of every run of Hollow Regatta from 5.0 s to the end is measured, because it loads (cut by Ada)."
        in page
    )
    assert "Measure the whole log again" in page


def test_a_score_has_nothing_to_be_cut(client: TestClient, wb: Desk) -> None:
    assert "What is measured" not in client.get(place(wb, SCORED)).text


def test_what_it_would_change_is_shown_and_nothing_is_stored(client: TestClient, wb: Desk) -> None:
    page = plain(client.get(f"{place(wb)}/window", params=FORM).text)
    assert "Of every run of Hollow Regatta from 5.0 s to 45.0 s would be measured" in page
    assert "As measured now, and then in this window" in page
    assert RUN in page
    assert 'value="5,0"' in page
    assert window(wb) is None


def test_a_cut_is_stored_for_every_run_and_undone(client: TestClient, wb: Desk) -> None:
    before = find_run(wb, RUN).metrics
    answer = client.post(f"{place(wb)}/window", data=FORM, headers={"Origin": "http://127.0.0.1"})
    page = plain(answer.text)
    assert "Of every run of Hollow Regatta from 5.0 s to 45.0 s is measured now." in page
    cut = window(wb)
    assert cut is not None
    assert cut.sides == (5.0, 45.0)
    assert find_run(wb, RUN).metrics != before
    number = re.search(r'name="change" value="(\d+)"', answer.text)
    assert number is not None
    undone = client.post(
        f"{place(wb)}/window/undo", data={"change": number[1]}, headers={"Origin": "http://127.0.0.1"}
    )
    assert "Of every run of Hollow Regatta the whole log is measured now." in plain(undone.text)
    assert find_run(wb, RUN).metrics == before


def test_a_run_alone_needs_a_reason_and_says_so_in_its_field(client: TestClient, wb: Desk) -> None:
    sent = {**FORM, "scope": "one"}
    answer = client.post(f"{place(wb)}/window", data=sent, headers={"Origin": "http://127.0.0.1"})
    assert answer.status_code == 422
    assert "Write why this run is cut otherwise than its siblings" in answer.text
    assert find_run(wb, RUN).run.window is None


def test_a_run_cut_otherwise_is_a_reservation_of_the_comparison(client: TestClient, wb: Desk) -> None:
    sent = {**FORM, "start_s": "", "scope": "one", "reason": "<a message> came up"}
    client.post(f"{place(wb)}/window", data=sent, headers={"Origin": "http://127.0.0.1"})
    assert find_run(wb, RUN).run.window is not None
    page = plain(client.get("/studies/saltmarsh/compare").text)
    assert "one run is cut otherwise than its siblings, because &lt;a message&gt; came up" in page


def test_what_does_not_fit_a_sibling_is_told_before_and_when_storing(client: TestClient, wb: Desk) -> None:
    sent = {**FORM, "start_s": "500", "end_s": ""}
    page = plain(client.get(f"{place(wb)}/window", params=sent).text)
    assert "This window does not fit every run, and cannot be stored." in page
    answer = client.post(f"{place(wb)}/window", data=sent, headers={"Origin": "http://127.0.0.1"})
    assert answer.status_code == 422
    assert "and the window begins at 500.0 s" in plain(answer.text)
    assert window(wb) is None


@pytest.mark.parametrize(
    ("field", "typed"), [("start_s", "soon"), ("start_s", "-3"), ("end_s", "late"), ("end_s", "4")]
)
def test_seconds_that_are_none_are_told_in_their_field(
    client: TestClient, wb: Desk, field: str, typed: str
) -> None:
    sent = {**FORM, field: typed}
    answer = client.post(f"{place(wb)}/window", data=sent, headers={"Origin": "http://127.0.0.1"})
    assert answer.status_code == 422
    assert f'value="{typed}"' in answer.text


def test_of_two_who_cut_at_once_the_second_learns_of_the_first(client: TestClient, wb: Desk) -> None:
    seen = re.search(r'name="seen" value="(\d+\.\d+)"', client.get(place(wb)).text)
    assert seen is not None
    cut_test(wb, find_run(wb, RUN).run.test, Window(start_s=3.0), now=present())
    sent = {**FORM, "seen": seen[1]}
    answer = client.post(f"{place(wb)}/window", data=sent, headers={"Origin": "http://127.0.0.1"})
    assert answer.status_code == 409
    assert "Meanwhile the test or the run was changed" in answer.text


def test_a_run_goes_back_to_the_window_of_its_test(client: TestClient, wb: Desk) -> None:
    cut_run(wb, find_run(wb, RUN).run.id, Window(start_s=5.0, reason="paused"), now=present())
    sent = {**FORM, "back": "yes"}
    answer = client.post(f"{place(wb)}/window", data=sent, headers={"Origin": "http://127.0.0.1"})
    assert "All of the log is measured, as of every run of Hollow Regatta." in plain(answer.text)


def test_a_cut_of_one_run_that_is_undone_tells_what_its_test_measures(client: TestClient, wb: Desk) -> None:
    run = find_run(wb, RUN).run
    cut_test(wb, run.test, Window(start_s=6.2), now=present())
    done = cut_run(wb, run.id, Window(start_s=9.0, reason="paused"), now=present())
    undo = {"change": str(done.change)}
    told = client.post(f"{place(wb)}/window/undo", data=undo, headers={"Origin": "http://127.0.0.1"}).text
    assert "6.2 s" in plain(told).split("is measured now as of its test")[0][-60:]
    assert "the whole log is measured now" not in plain(told)


# --- in a browser


def edge(page: Page, which: str) -> Locator:
    return page.get_by_role("slider", name=f"{which} of what is measured")


def open_fold(page: Page, served: Served) -> None:
    page.goto(served.url + place(served.wb))
    # What stands below the chart moves once it is drawn.
    expect(page.locator(".uplot canvas").first).to_be_visible()
    page.get_by_text("Cut its beginning or end").click()
    expect(edge(page, "Start")).to_be_visible()


def test_edges_are_dragged_and_moved_by_keys_and_the_cut_is_stored(page: Page, served: Served) -> None:
    open_fold(page, served)
    start, end = edge(page, "Start"), edge(page, "End")
    start.scroll_into_view_if_needed()
    box = start.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 44
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 120, box["y"] + box["height"] / 2, steps=4)
    page.mouse.up()
    dragged = float(page.get_by_label("Measure from").input_value())
    assert dragged > 1
    start.press("ArrowRight")
    start.press("Shift+ArrowLeft")
    expect(page.get_by_label("Measure from")).to_have_value(f"{dragged + 0.09:g}")
    expect(start).to_have_attribute("aria-valuetext", f"{dragged + 0.09:.2f} seconds into the log")
    end.press("PageDown")
    end.press("End")
    expect(end).to_have_attribute("aria-valuetext", "to the end of the log")
    end.press("PageDown")
    expect(page.locator("#trim-preview")).to_contain_text("would be measured")
    page.get_by_role("button", name="Cut so").click()
    expect(page.locator(".trim .done")).to_contain_text("is measured now")
    cut = window(served.wb)
    assert cut is not None
    assert cut.start_s == pytest.approx(dragged + 0.09)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".trim")).to_contain_text("All of the log is measured")


def test_seconds_that_are_none_are_told_beside_the_field_while_one_looks(page: Page, served: Served) -> None:
    open_fold(page, served)
    field = page.get_by_label("Measure from")
    field.fill("abc")
    field.press("Tab")
    says = page.locator("#trim-start_s-says")
    expect(says).to_contain_text("Write the seconds as a number")
    expect(page.locator("#trim-preview")).to_contain_text("Nothing can be shown")
    field.fill("5")
    field.press("Tab")
    expect(page.locator("#trim-preview")).to_contain_text("would be measured")
    expect(says).to_be_empty()


@pytest.mark.parametrize("width", [360, 2560])
def test_both_edges_are_there_on_a_chart_of_any_width(page: Page, served: Served, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 1300})
    open_fold(page, served)
    expect(edge(page, "End")).to_be_visible()


def test_trimming_is_usable_for_everybody(page: Page, phone: Page, served: Served) -> None:
    for view in (page, phone):
        open_fold(view, served)
        view.get_by_label("Measure from").fill("5")
        view.get_by_label("Measure from").press("Tab")
        expect(view.locator("#trim-preview")).to_contain_text("would be measured")
        sound(view)
