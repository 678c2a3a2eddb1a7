"""The brief in the browser: read first, changed in place, nothing typed is lost, all of it can be undone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, sound, too_wide

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, present
from evenhand.desk.study import on_shelf
from evenhand.desk.study.briefing import change_study, start_study
from evenhand.records.tests import Script

BRIEF = "/studies/saltmarsh/brief"
TERMS = {"margin": "3", "boot_allowance": "1", "ambient_low": "21", "ambient_high": "27"}
SCORE = {"name": "X", "measures": "score", "direction": "lower"}


def seen(client: TestClient, part: str) -> str:
    """The number that the form of a part carries."""
    found = re.search(r'name="seen" value="(\d+)"', client.get(f"{BRIEF}?edit={part}").text)
    assert found is not None
    return found[1]


def test_it_opens_with_its_answer(client: TestClient) -> None:
    text = client.get(BRIEF).text
    assert (
        "video editing? Nine tests, margin ±3\u00a0%, on record since 4 May 2031, after the first run."
        in text
    )
    assert "whether it was fixed before, this record cannot show" in text
    assert "For a community workshop that mostly plays and also edits" in text
    assert "Nothing was changed after the first run" in text


def test_the_margin_is_shown_in_the_unit_of_a_test(client: TestClient) -> None:
    text = client.get(BRIEF).text
    assert all(f"{fps}\u00a0fps" in text for fps in ("85.4", "88.0", "90.6"))
    assert "±3\u00a0% is ±2.6\u00a0fps here." in text


def test_a_decimal_comma_is_read_and_told_after_data(client: TestClient) -> None:
    page = client.post(f"{BRIEF}/terms", data={**TERMS, "margin": "2,5"})
    assert page.url.params["done"]
    assert "The margin was changed from 3\u00a0% to 2.5\u00a0%." in page.text
    assert "after 158 runs were on record" in page.text
    assert "one term was changed since" in page.text


def test_a_change_is_undone_from_its_page(client: TestClient) -> None:
    done = client.post(f"{BRIEF}/terms", data={**TERMS, "margin": "2"})
    page = client.post("/studies/saltmarsh/undo", data={"change": done.url.params["done"], "page": "brief"})
    assert "The margin was changed from 2\u00a0% to 3\u00a0%." in page.text
    assert "two terms were changed since" in page.text


@pytest.mark.parametrize(
    ("part", "wrong", "said"),
    [
        ("terms", {**TERMS, "margin": "three"}, "‘three’ is not a number"),
        ("terms", {**TERMS, "margin": "0"}, "The margin must be above 0"),
        ("terms", {**TERMS, "ambient_low": "29"}, "runs from 29.0 down to 27.0"),
        ("terms", {**TERMS, "ambient_low": ""}, "two temperatures"),
        ("question", {"title": ""}, "The study has no name"),
        ("weights", {"weight-causeway": "-1"}, "A weight must be 0 or more"),
        ("new-test", {"name": "", "measures": "frames", "metric": "average_fps"}, "The name is missing"),
        ("new-test", SCORE, "The score has no unit"),
        ("test-causeway", {"name": "X", "measures": "score", "unit": "s"}, "No direction is chosen"),
        ("test-causeway", {**SCORE, "unit": "s"}, "on record measure frames"),
    ],
)  # fmt: skip
def test_an_error_stands_in_the_form_and_what_was_typed_stays(
    client: TestClient, part: str, wrong: dict[str, str], said: str
) -> None:
    page = client.post(f"{BRIEF}/{part}", data={**wrong, "group": "<typed>"})
    assert page.status_code == 422
    assert said.lower() in page.text.lower()
    for name, value in wrong.items():
        if name not in ("measures", "metric", "direction"):
            assert f'name="{name}" value="{value}"' in page.text


def test_looking_at_a_form_saves_nothing(client: TestClient) -> None:
    page = client.post(
        f"{BRIEF}/terms?check=1", data={**TERMS, "margin": "2,5"}, headers={"hx-request": "true"}
    )
    assert page.status_code == 200
    assert "Read as 2.5\u00a0%." in page.text
    assert "margin ±3\u00a0%" in client.get(BRIEF).text


def test_a_change_of_another_window_is_not_overwritten(client: TestClient, wb: Desk) -> None:
    before = seen(client, "terms")
    change_study(wb, "saltmarsh", {"margin": 0.04}, now=present())
    page = client.post(f"{BRIEF}/terms", data={**TERMS, "margin": "2", "seen": before})
    assert page.status_code == 422
    assert "changed in another window" in page.text
    assert 'name="margin" value="2"' in page.text
    again = re.search(r'name="seen" value="(\d+)"', page.text)
    assert again is not None
    saved = client.post(f"{BRIEF}/terms", data={**TERMS, "margin": "2", "seen": again[1]})
    assert "margin ±2\u00a0%" in saved.text


def test_a_test_is_taken_out_and_stays_on_record(client: TestClient) -> None:
    page = client.post(f"{BRIEF}/tests/choir/drop")
    assert "Quarry Choir is out of the study; what is on record stays." in page.text
    assert '<option value="choir">' in page.text
    page = client.post(f"{BRIEF}/tests/take", data={"test": "choir"})
    assert "Quarry Choir is in the study now." in page.text


def test_a_command_is_written_down_and_kept(client: TestClient, wb: Desk) -> None:
    told = {**SCORE, "unit": "s", "script_command": "pack film.raw", "script_warm_up": "1"}
    client.post(f"{BRIEF}/new-test", data=told)
    test = on_shelf.test_called(wb, "x")
    assert test.script == Script(command="pack film.raw", warm_up=1)
    assert 'value="pack film.raw"' in client.get(f"{BRIEF}?edit=test-x").text
    page = client.post(f"{BRIEF}/test-x", data={**told, "script_score": "score: ([0-9"})
    assert page.status_code == 422
    assert "cannot be read" in page.text
    client.post(f"{BRIEF}/test-x", data={**told, "script_command": ""})
    assert on_shelf.test_called(wb, "x").script is None


def test_a_shared_test_says_whom_a_change_touches(client: TestClient, wb: Desk) -> None:
    start_study(wb, {"title": "Autumn desks", "tests": ["choir"]}, now=present())
    assert "A change of it also touches Autumn desks." in client.get(f"{BRIEF}?edit=test-choir").text


def test_names_are_escaped(client: TestClient) -> None:
    told = {"title": "<script>alert(1)</script>", "question": '"><b>', "audience": "", "budget": ""}
    page = client.post(f"{BRIEF}/question", data=told)
    assert "<script>alert(1)" not in page.text
    assert "&lt;script&gt;alert(1)" in page.text


def test_undo_asks_which(client: TestClient) -> None:
    assert client.post("/studies/saltmarsh/undo", data={"change": "x", "page": "brief"}).status_code == 422
    assert client.get(f"{BRIEF}?done=999999").status_code == 404


# --- in a browser


def test_no_address_of_a_form_has_a_fragment_since_a_browser_then_focuses_nothing(client: TestClient) -> None:
    for page in ("brief", "builds", "brief?edit=new-test", "builds?edit=new"):
        text = client.get(f"/studies/saltmarsh/{page}").text
        assert re.findall(r'(?:href|action)="[^"]*/(?:brief|builds)[^"]*#[^"]*"', text) == []
    page_after = client.post(f"{BRIEF}/terms", data={**TERMS, "margin": "2"})
    assert not page_after.url.fragment
    assert re.search(r'id="done"[^>]*autofocus', page_after.text)


def press(page: Page, keys: str, times: int = 1) -> None:
    for _ in range(times):
        page.keyboard.press(keys)


def test_a_study_is_made_from_nothing_by_keyboard(served_empty: Served, page: Page) -> None:
    page.goto(f"{served_empty.url}/studies/new")
    page.keyboard.type("Which of two desks should the reading room buy?")
    press(page, "Tab", 3)
    page.keyboard.press("Control+A")
    page.keyboard.type("2,5")
    press(page, "Enter")
    answer = page.get_by_role("heading", level=1)
    expect(answer).to_contain_text("No tests yet, margin ±2.5 %, open until the first run.")

    page.get_by_role("link", name="Add the first test").focus()
    press(page, "Enter")
    expect(page.get_by_label("Name", exact=False).first).to_be_focused()
    page.keyboard.type("Salt Causeway")
    press(page, "Enter")
    expect(answer).to_contain_text("One test, margin")
    expect(page.locator("#done")).to_be_focused()
    expect(page.locator("#done")).to_contain_text("Salt Causeway is in the study now.")

    press(page, "Tab")
    press(page, "Enter")
    expect(answer).to_contain_text("No tests yet")


def test_an_error_shows_when_the_field_is_left_and_goes_when_mended(served: Served, page: Page) -> None:
    page.goto(f"{served.url}{BRIEF}?edit=terms")
    margin = page.get_by_label("Smallest difference that matters")
    margin.fill("three")
    press(page, "Tab")
    expect(page.locator("#terms-margin-says")).to_contain_text("is not a number")
    expect(margin).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_label("Error that runs of one boot may share")).to_be_focused()
    assert axe_violations(page) == []
    margin.fill("2,5")
    press(page, "Tab")
    expect(page.locator("#terms-margin-says")).to_contain_text("Read as 2.5 %.")
    expect(margin).to_have_value("2,5")


def test_what_is_being_typed_survives_a_change_elsewhere(served: Served, page: Page) -> None:
    page.goto(f"{served.url}{BRIEF}")
    page.get_by_role("link", name="Edit the question").click()
    asked = page.get_by_role("textbox", name="Question")
    asked.fill("Half a ques")
    change_study(served.wb, "saltmarsh", {"budget": "900 drell"}, now=present())
    page.wait_for_timeout(1200)
    expect(asked).to_have_value("Half a ques")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("alert")).to_contain_text("changed in another window")
    expect(page.get_by_role("textbox", name="Question")).to_have_value("Half a ques")


def test_a_page_that_is_read_follows_changes(served: Served, page: Page) -> None:
    page.goto(f"{served.url}{BRIEF}")
    page.wait_for_timeout(300)
    change_study(served.wb, "saltmarsh", {"margin": 0.04}, now=present())
    expect(page.get_by_role("heading", level=1)).to_contain_text("margin ±4 %", timeout=4000)


def test_it_is_sound(served: Served, page: Page) -> None:
    for edit in ("", "?edit=test-causeway"):
        page.goto(f"{served.url}{BRIEF}{edit}")
        sound(page)


def test_it_fits_a_phone(served: Served, phone: Page) -> None:
    for path in ("/studies/new", BRIEF, f"{BRIEF}?edit=new-test"):
        phone.goto(f"{served.url}{path}")
        assert axe_violations(phone) == []
        assert not too_wide(phone)


@pytest.mark.parametrize(
    ("status", "said"), [(502, "answered with an error (502)"), (None, "does not answer")]
)
def test_what_was_typed_stays_when_the_server_fails(
    served: Served, browser: Browser, status: int | None, said: str
) -> None:
    page = browser.new_page()  # whose console may tell of the failure
    page.goto(f"{served.url}{BRIEF}?edit=terms")
    page.route(
        "**/brief/terms", lambda route: route.fulfill(status=status) if status else route.abort("failed")
    )
    margin = page.get_by_label("Smallest difference that matters")
    margin.fill("2")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("alert")).to_contain_text(said)
    page.unroute("**/brief/terms")
    expect(margin).to_have_value("2")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("margin ±2 %")
    page.context.close()


def test_tests_are_put_in_order_by_buttons(client: TestClient, wb: Desk) -> None:
    first, second, *_ = load_study(wb, "saltmarsh").study.tests
    page = client.post(f"{BRIEF}/tests/{first}/move", data={"way": "down"})
    assert "The order of the tests was changed." in page.text
    assert load_study(wb, "saltmarsh").study.tests[:2] == (second, first)
    client.post(f"{BRIEF}/tests/{first}/move", data={"way": "up"})
    assert load_study(wb, "saltmarsh").study.tests[:2] == (first, second)
    assert 'value="up">Up' not in page.text[: page.text.index(f"/tests/{first}/move")], (
        "the first has no way up"
    )


def test_order_is_changed_by_the_keyboard(page: Page, served: Served) -> None:
    first, second, *_ = load_study(served.wb, "saltmarsh").study.tests
    page.goto(f"{served.url}{BRIEF}")
    page.locator(f'form[action$="/tests/{first}/move"] button').focus()
    page.keyboard.press("Enter")
    expect(page.locator("#brief")).to_contain_text("The order of the tests was changed.")
    assert load_study(served.wb, "saltmarsh").study.tests[:2] == (second, first)
