"""Temperature logs on the tuning page: the sentence first, what if, a log brought in two steps, taken off."""

from __future__ import annotations

import html
import re

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient
from tests.desk.tuning.small_chip import lay_limit, lay_part
from tests.desk.tuning.warm_log import LOG, NAMED, brought, one_power
from tests.web.conftest import serving
from tests.web.looking import sound
from tests.web.tuning.told import at_field, words

from evenhand.desk.opening import Desk
from evenhand.store import heat as heat_store

HERE = "/studies/quay/tuning"
PART = "wren~processor"


@pytest.fixture
def bench(bench: Desk) -> Desk:
    """A tuned part and its maker's limit of temperature."""
    lay_part(bench)
    lay_limit(bench, quantity="temperature", most=95.0)
    return bench


def section(text: str) -> str:
    found = re.search(r'<section class="part" id="heat">(.*?)</section>', text, flags=re.DOTALL)
    assert found
    return found[1]


def bring(site: TestClient, data: bytes = LOG, name: str = "warm.csv") -> str:
    """A file is brought; the page that asks about its columns."""
    sent = site.post(f"{HERE}/heat/bring", data={"of": PART}, files={"log": (name, data)})
    return str(sent.text)


def named(text: str) -> dict[str, str]:
    """What stands in the form of the columns."""
    found = {"of": PART}
    for name in ("file", "run"):
        value = re.search(rf'name="{name}" value="([^"]*)"', text)
        found[name] = value[1] if value else ""
    for name in ("temperature", "watts", "room", "fan", "clock"):
        choice = re.search(rf'<select id="[\w-]+" name="{name}".*?</select>', text, flags=re.DOTALL)
        assert choice, name
        chosen = re.search(r'value="([^"]*)" selected', choice[0])
        found[name] = html.unescape(chosen[1]) if chosen else ""
    return found


def test_before_any_log_the_page_says_that_nothing_is_known_and_how_to_record_one(site: TestClient) -> None:
    said = words(section(site.get(HERE).text))
    assert "No temperature log is on record" in said
    assert "Let the machine rest for ten minutes" in words(section(site.get(f"{HERE}?edit=heat-log").text))


def test_a_log_is_brought_its_columns_are_asked_about_and_then_it_is_told(
    site: TestClient, bench: Desk
) -> None:
    asked = bring(site)
    assert "Nobody has confirmed its columns before" in words(asked)
    form = named(asked)
    assert (form["temperature"], form["watts"], form["room"]) == (
        NAMED["temperature"], NAMED["watts"], NAMED["room"],
    )  # fmt: skip
    done = site.post(f"{HERE}/heat", data=form)
    said = words(done.text)
    assert "Temperature log 1 is on record." in said
    assert "In a room of 24 °C at 200 W it would settle at 98 °C" in said
    again = words(site.post(f"{HERE}/heat", data=form).text)
    assert "Temperature log 1 was on record already." in again
    (kept,) = heat_store.heat_of(bench, ["wren"])
    assert kept.columns.clock == NAMED["clock"]
    assert "Nobody has confirmed" not in words(bring(site))


def test_the_sentence_comes_first_then_the_picture_wide_and_for_a_phone_then_what_if(
    site: TestClient, bench: Desk
) -> None:
    brought(bench)
    text = section(site.get(HERE).text)
    assert text.index("In a room of") < text.index("<svg") < text.index("What if") < text.index("Quicker")
    assert text.count("<svg") >= 2


def test_another_room_power_and_cooler_are_asked_about_in_the_address(site: TestClient, bench: Desk) -> None:
    brought(bench)
    text = site.get(f"{HERE}?room=20&watts=120,5&cooler=0.1&off=0.02").text
    said = words(section(text))
    assert "In a room of 20 °C at 120 W" in said or "In a room of 20 °C at 121 W" in said
    assert "Under the other cooler" in said
    assert 'value="120,5"' in text


@pytest.mark.parametrize(
    ("asked", "field"),
    [("room=99", "room"), ("watts=many", "watts"), ("cooler=0", "cooler"), ("off=-1", "off")],
)
def test_what_cannot_be_asked_is_told_at_its_field(
    site: TestClient, bench: Desk, asked: str, field: str
) -> None:
    brought(bench)
    assert "cannot be used" in at_field(site.get(f"{HERE}?{asked}").text, field)


def test_a_later_log_that_tells_nothing_says_why_in_its_row(site: TestClient, bench: Desk) -> None:
    brought(bench)
    brought(bench, LOG[:600], name="short.csv")
    said = words(section(site.get(HERE).text))
    assert "settle at 98 °C" in said
    assert "It is passed over: " in said


def test_a_later_log_of_one_power_is_passed_over_and_held_against_the_one_of_steps(
    site: TestClient, bench: Desk
) -> None:
    brought(bench)
    brought(bench, one_power(off_c=5.0))
    said = words(section(site.get(HERE).text))
    assert "It is passed over: its power never changed, so that it tells no °C per watt and no time" in said
    assert "°C per watt and how long it takes are told by log 1." in said
    assert "Log 2 settled at 83 °C at 150 W in a room of 22 °C, where log 1 says 7" in said
    assert "A later log settled more than 2 K off what this one says" in said
    assert "At rest after load it read " in said


def test_a_doubt_of_no_cooler_is_told_at_its_field(site: TestClient, bench: Desk) -> None:
    brought(bench)
    assert "write its °C per watt too" in at_field(site.get(f"{HERE}?off=0.02").text, "off")


def test_a_log_without_a_room_says_so_and_answers_no_other_room(site: TestClient, bench: Desk) -> None:
    brought(bench, room="")
    said = words(section(site.get(f"{HERE}?room=20").text))
    assert "In the room of the log, which nobody read," in said
    assert "The room of the log is not on record" in said


@pytest.mark.parametrize(
    ("change", "field", "told"),
    [
        ({"temperature": ""}, "temperature", "not said which column"),
        ({"watts": NAMED["temperature"]}, "temperature", "taken for two things"),
        ({"room_c": "warm"}, "room_c", "is not a number"),
        ({"room_c": "22"}, "room_c", "by a column and as one value"),
        ({"from_s": "90", "to_s": "10"}, "to_s", "before it begins"),
    ],
)
def test_what_is_wrong_with_a_log_stands_at_its_field_and_nothing_is_noted(
    site: TestClient, bench: Desk, change: dict[str, str], field: str, told: str
) -> None:
    answer = site.post(f"{HERE}/heat", data={**named(bring(site)), **change})
    assert answer.status_code == 422
    assert told in at_field(answer.text, field)
    assert heat_store.heat_of(bench, ["wren"]) == ()


@pytest.mark.parametrize("data", [b"", b"\x00\x01" * 99, b"one word"])
def test_a_file_that_is_no_log_is_told_where_it_was_chosen(site: TestClient, data: bytes) -> None:
    sent = site.post(f"{HERE}/heat/bring", data={"of": PART}, files={"log": ("photo.csv", data)})
    assert sent.status_code == 422
    assert at_field(sent.text, "log")


def test_where_nothing_was_chosen_it_says_so(site: TestClient) -> None:
    sent = site.post(f"{HERE}/heat/bring", data={"of": PART}, files={"log": ("", b"")})
    assert sent.status_code == 422
    assert "No log was brought" in at_field(sent.text, "log")


def test_a_log_is_taken_back_with_a_reason_and_stays_to_be_read(site: TestClient, bench: Desk) -> None:
    made = brought(bench).heat
    place = f"{HERE}/heat/{made.id}/take-back"
    assert site.post(place, data={"of": PART, "reason": ""}).status_code == 422
    said = words(site.post(place, data={"of": PART, "reason": "the probe fell off"}).text)
    assert f"Temperature log {made.id} is taken back." in said
    assert "Logs taken back: 1" in said
    assert "the probe fell off" in said
    assert heat_store.heat_of(bench, ["wren"]) == ()


def test_an_older_log_is_told_of_where_it_is_chosen(site: TestClient, bench: Desk) -> None:
    first, second = brought(bench).heat, brought(bench, to_s=3400.0).heat
    assert f"log={first.id}#heat" in site.get(HERE).text
    older = words(section(site.get(f"{HERE}?log={first.id}").text))
    assert older != words(section(site.get(f"{HERE}?log={second.id}").text))
    assert site.get(f"{HERE}?log=99").status_code == 404


def test_names_of_files_and_notes_are_escaped(site: TestClient, bench: Desk) -> None:
    brought(bench, name="<b>warm</b>.csv", note="<i>note</i>")
    text = section(site.get(HERE).text)
    assert "<b>warm" not in text
    assert "<i>note" not in text


def test_the_section_has_no_barriers_wide_and_on_a_phone(bench: Desk, page: Page, phone: Page) -> None:
    brought(bench)
    with serving(bench) as served:
        for each in (page, phone):
            each.goto(f"{served.url}{HERE}?cooler=0.1&off=0.01")
            sound(each)
        page.goto(f"{served.url}{HERE}?edit=heat-log")
        sound(page)
        page.locator("input[type=file]").set_input_files(
            files=[{"name": "warm.csv", "mimeType": "text/csv", "buffer": LOG}]
        )
        page.get_by_role("button", name="Look at its columns").click()
        page.get_by_role("button", name="Note the log").wait_for()
        sound(page)
