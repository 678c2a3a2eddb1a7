"""The builds in the browser: what each is made of, in what they differ, and how they are written down."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.copies import copy_of
from tests.web.conftest import client_of
from tests.web.looking import Served, axe_violations, sound, too_wide

from evenhand.desk.opening import Desk, present
from evenhand.desk.study.briefing import start_study
from evenhand.desk.study.building import add_setup, take_setup
from evenhand.desk.study.on_shelf import build_called, part_called, setup_called

BUILDS = "/studies/saltmarsh/builds"
HERON = {"name": "Heron", "slot": "4", "part-processor": "Brellow Elm 8", "state": "stock"}


def test_it_opens_with_its_answer(client: TestClient) -> None:
    text = client.get(BUILDS).text
    assert (
        "Three builds, one setup each; they differ in processor, board, graphics, supply and firmware."
        in text
    )
    assert "Alike in all: memory, storage, case, cooler, os, driver and power plan." in text


STICKS_OUT = """() => {
  const end = document.querySelector('.builds').getBoundingClientRect().right;
  const parts = [...document.querySelectorAll('.builds > li *')];
  return Math.max(...parts.map(part => part.getBoundingClientRect().right)) - end;
}"""
ROWS = """() => new Set([...document.querySelectorAll('.builds > li')].map(li => li.offsetTop)).size"""


def test_five_builds_stand_in_two_rows_and_stick_out_nowhere(served: Served, page: Page) -> None:
    page.goto(f"{served.url}{BUILDS}")
    expect(page.locator(".builds > li")).to_have_count(5)
    assert page.evaluate(STICKS_OUT) <= 0.5
    first = page.evaluate("document.querySelectorAll('.builds > li')[3].offsetLeft")
    assert (page.evaluate(ROWS), first) == (
        2,
        page.evaluate("document.querySelector('.builds > li').offsetLeft"),
    )


CAPTION_ENDS = "document.querySelector('.table caption > span').getBoundingClientRect().right"


def test_on_a_phone_the_caption_is_whole_and_a_hidden_edge_is_shaded(served: Served, phone: Page) -> None:
    phone.goto(f"{served.url}{BUILDS}")
    assert phone.evaluate(CAPTION_ENDS) <= 390
    shade = "getComputedStyle(document.querySelector('.scroll')).backgroundAttachment"
    assert phone.evaluate(shade) == "local, local, scroll, scroll"


def test_what_differs_is_marked_in_words_too(client: TestClient) -> None:
    text = client.get(BUILDS).text
    assert re.search(r'class="differing"><th scope="row"><span class="differs">firmware</span>', text)
    assert re.search(r'class="same"><th scope="row">driver</th>', text)
    assert text.count("</span> differs") + text.count('"vh"> differs') == 5


def test_cautions_stand_where_machines_are_touched_and_set(client: TestClient) -> None:
    assert "Never open a power supply" in client.get(BUILDS).text
    assert "Stop below the maker’s limit" in client.get(f"{BUILDS}?edit=setup-wren-mild").text


@pytest.fixture
def small(quay_file: Path, tmp_path: Path) -> Iterator[Desk]:
    """A study of two builds, so that three colours are free."""
    yield from copy_of(quay_file, tmp_path / "small.evenhand")


@pytest.fixture
def quay(small: Desk) -> Iterator[TestClient]:
    with client_of(small) as opened:
        yield opened


def test_a_build_is_added_with_parts_setup_and_stamps(quay: TestClient, small: Desk) -> None:
    told = {
        **HERON,
        "extra-name": ["storage", ""],
        "extra-value": ["Osk 2 TB", ""],
        "stamps-name": ["firmware", "os", "bus"],
        "stamps-value": ["", "Tern 9.2", "gen 4"],
    }
    page = quay.post("/studies/quay/builds/new-build", data=told)
    assert "Heron, stock is in the study now." in page.text
    assert "Three builds, one setup each" in page.text
    assert "Not on record for all" in page.text
    assert build_called(small, "heron").parts == ("brellow-elm-8", "osk-2-tb")
    assert setup_called(small, "heron-stock").stamps == {"os": "Tern 9.2", "bus": "gen 4"}


def test_colours_worn_by_builds_that_are_not_compared_are_told(client: TestClient) -> None:
    said = "two of them by builds that have runs here and are not compared"
    assert f"All five colours are worn, {said}" in client.get(BUILDS).text


@pytest.mark.parametrize(
    ("part", "wrong", "said"),
    [
        ("new-build", {"name": ""}, "The name is missing"),
        ("new-build", {"slot": ""}, "No colour is chosen"),
        ("new-build", {"slot": "1"}, "A study holds five builds"),
        ("new-build", {"state": ""}, "The state has no word"),
        ("new-build", {"extra-name": "", "extra-value": "Osk 2 TB"}, "needs both its kind and its name"),
        ("new-build", {"stamps-name": "bus", "stamps-value": ""}, "‘bus’ has no value"),
        ("build-wren", {"slot": "2"}, "worn by &#39;plover&#39; already"),
        ("setup-wren-mild", {"state": ""}, "The state has no word"),
        ("new-setup-wren", {"stamps-name": "", "stamps-value": "7"}, "A value stands without its name"),
        ("part-osk-650", {"name": ""}, "The name is missing"),
    ],
)
def test_an_error_stands_in_the_form_and_what_was_typed_stays(
    client: TestClient, part: str, wrong: dict[str, str], said: str
) -> None:
    page = client.post(f"{BUILDS}/{part}", data={**HERON, "kind": "supply", "note": "<typed>", **wrong})
    assert page.status_code == 422
    assert said in page.text
    if "setup" not in part:
        assert "&lt;typed&gt;" in page.text
    assert "Three builds, one setup each" in page.text


def test_a_changed_part_is_told_undone_and_shared(client: TestClient, wb: Desk) -> None:
    other = start_study(wb, {"title": "Autumn desks"}, now=present()).key
    take_setup(wb, other, "wren-mild", now=present())
    told = {"kind": "supply", "name": "Osk 450 W", "note": "a loan"}
    page = client.post(f"{BUILDS}/part-osk-450", data=told)
    assert "The change also touches Autumn desks." in page.text
    assert "was changed from" in page.text
    client.post("/studies/saltmarsh/undo", data={"change": page.url.params["done"], "page": "builds"})
    assert part_called(wb, "osk-450").name == "Osk & Dunsolt 450"


def test_a_build_keeps_all_its_parts_through_its_form(client: TestClient, wb: Desk) -> None:
    before = build_called(wb, "wren").parts
    form = client.get(f"{BUILDS}?edit=build-wren").text
    fields = dict(re.findall(r'name="(part-\w+)" value="([^"]*)"', form))
    named = {name: value.replace("&amp;", "&") for name, value in fields.items()}
    client.post(f"{BUILDS}/build-wren", data={"name": "Wren", "slot": "1", "note": "side panel on", **named})
    assert build_called(wb, "wren").note == "side panel on"
    assert build_called(wb, "wren").parts == before


def test_a_build_that_loses_a_part_says_that_its_parts_were_changed(client: TestClient) -> None:
    page = client.post(f"{BUILDS}/build-wren", data={"name": "Wren", "slot": "1", "part-case": "Cindle Bo"})
    assert "Wren: the parts were changed." in page.text


def test_a_setup_goes_and_comes_back(client: TestClient) -> None:
    page = client.post(f"{BUILDS}/setups/wren-mild/drop")
    assert "Wren, mild tune is out of the study; what is on record stays." in page.text
    assert "Two builds" in page.text
    assert "Not compared in this study; its runs are on record." in page.text
    assert "Three builds" in client.post(f"{BUILDS}/setups/take", data={"setup": "wren-mild"}).text


def test_an_unknown_part_of_the_page_is_told(client: TestClient) -> None:
    assert client.post(f"{BUILDS}/nonsense", data={}).status_code == 404
    assert client.get(f"{BUILDS}?edit=build-nobody").status_code == 404


def test_an_empty_study_says_what_to_do_first(empty_client: TestClient, empty: Desk) -> None:
    start_study(empty, {"title": "Desks"}, now=present())
    text = empty_client.get("/studies/desks/builds").text
    assert "No build is in the study yet. Begin with the first machine." in text
    assert "Add a build" in text


# --- in a browser


def test_two_builds_are_written_down_by_keyboard(served_empty: Served, page: Page) -> None:
    start_study(served_empty.wb, {"title": "Desks"}, now=present())
    page.goto(f"{served_empty.url}/studies/desks/builds")
    for name in ("Wren", "Plover"):
        page.get_by_role("link", name="Add a build").focus()
        page.keyboard.press("Enter")
        expect(page.get_by_label("Name needed")).to_be_focused()
        page.keyboard.type(name)
        page.keyboard.press("Tab")
        page.keyboard.press("Tab")
        page.keyboard.type(f"Brellow {name}")
        page.keyboard.press("Enter")
        expect(page.locator("#done")).to_contain_text(f"{name}, stock is in the study now.")
    expect(page.get_by_role("heading", level=1)).to_have_text(
        "Two builds, one setup each; they differ in processor."
    )
    assert build_called(served_empty.wb, "plover").slot == 2
    expect(page.locator("#rail").get_by_role("link", name="Builds")).to_contain_text("2")
    add_setup(served_empty.wb, "desks", {"build": "wren", "state": "mild tune"}, now=present())
    expect(page.get_by_role("heading", level=1)).to_contain_text("three setups in all", timeout=4000)


def test_it_is_sound(served: Served, page: Page) -> None:
    for edit in ("", "?edit=new-build", "?edit=setup-wren-mild"):
        page.goto(f"{served.url}{BUILDS}{edit}")
        sound(page)


def test_it_fits_a_phone(served: Served, phone: Page) -> None:
    for edit in ("", "?edit=build-wren", "?edit=part-osk-650"):
        phone.goto(f"{served.url}{BUILDS}{edit}")
        assert axe_violations(phone) == []
        assert not too_wide(phone)


MOST_ON_A_PHONE = 6500  # px: eight screens or so, where fifteen thousand stood before things were folded


def test_it_is_read_on_a_phone_in_eight_screens_and_all_of_it_opens(served: Served, phone: Page) -> None:
    phone.goto(served.url + BUILDS)
    assert phone.evaluate("document.documentElement.scrollHeight") < MOST_ON_A_PHONE
    card = phone.locator(".builds > li", has=phone.get_by_role("heading", name="Wren"))
    for summary, shown in (
        ("4 more parts, alike in all", "Brellow Breeze"),
        ("All 27 rules", "Does the side panel close over the cooler?"),
        ("Power, for long and short", "For 0.1\u00a0ms"),
        ("Over time", "Usual is 742"),
        ("Every day", "24 November 2026"),
        ("6 sound readings", "dB"),
    ):
        fold = card.locator("details", has=phone.locator("summary", has_text=summary)).last
        fold.locator("summary").click()
        expect(fold.locator("> :not(summary)").last).to_be_visible()
        expect(fold).to_contain_text(shown)
    other = phone.locator(".lesser", has_text="Dunlin with Lantern 40")
    other.locator("summary").first.click()
    expect(other.get_by_role("link", name="Harrowfen Lantern 40").first).to_be_visible()
    assert axe_violations(phone) == []
    assert not too_wide(phone)


def test_pressing_twice_adds_one_build(served_empty: Served, page: Page) -> None:
    start_study(served_empty.wb, {"title": "Desks"}, now=present())
    page.goto(f"{served_empty.url}/studies/desks/builds?edit=new-build")
    page.keyboard.type("Wren")
    page.get_by_role("button", name="Add the build").dblclick()
    expect(page.locator("#done")).to_contain_text("Wren, stock is in the study now.")
    expect(page.get_by_role("heading", level=1)).to_contain_text("One build, one setup.")
