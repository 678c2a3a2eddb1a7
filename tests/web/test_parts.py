"""What is known of parts: noted by form, told with its source, undone; and what Builds says of fit."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from html import unescape

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide

from evenhand.desk.opening import Desk
from evenhand.desk.parts.noting import note_facts
from evenhand.desk.parts.telling import facts_ever
from evenhand.records.builds import Build
from evenhand.store import shelves

BUILDS = "/studies/saltmarsh/builds"
PARTS = f"{BUILDS}/parts"
CARD, CASE = "harrowfen-lantern-36", "osk-crate"


def errors(text: str) -> list[str]:
    """What is said to be wrong, field by field."""
    return re.findall(r'class="err">.*?<span>(.*?)</span>', text, flags=re.DOTALL)


def form_of(client: TestClient, part: str) -> dict[str, str]:
    """The form of a part's facts as a browser would send it back, its source said and all else unchanged."""
    text = unescape(client.get(f"{PARTS}/{part}?edit=facts").text).partition('id="facts"')[2]
    sent = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', text))
    sent |= dict(re.findall(r'<input id="[^"]+" name="([^"]+)" value="([^"]*)"', text))
    sent |= dict(re.findall(r'<textarea id="[^"]+" name="([^"]+)"[^>]*>([^<]*)</textarea>', text))
    selects = re.findall(r'<select id="[^"]+" name="([^"]+)"[^>]*>(.*?)</select>', text, flags=re.DOTALL)
    sent |= {name: re.findall(r'value="([^"]*)" selected', options)[0] for name, options in selects}
    ticks = re.findall(r'<input type="checkbox" name="([^"]+)" value="yes" checked>', text)
    assert sent["source"] == "", "nobody has said yet where it is from"
    return sent | {"source": "its label"} | dict.fromkeys(ticks, "yes")


def test_the_page_opens_with_which_builds_fit_and_passes_none_of_which_something_is_unknown(
    client: TestClient,
) -> None:
    text = client.get(BUILDS).text
    assert "fit by every rule asked, and their supplies bear them." in text
    assert "Of Dunlin and Plover with Lantern 36 something is not known yet." in text
    dunlin = text.partition('id="fit-dunlin"')[2].partition('id="price-of-')[0]
    assert "Unknown: one of 27 rules lacks a fact. By the other 26 it fits." in dunlin
    assert f'href="{PARTS}/{CARD}?edit=facts&amp;fact=height_mm"' in dunlin
    assert "a ruler, from the slot to the side panel, 21 November 2026" in dunlin


def test_what_keeps_several_builds_from_fitting_stands_there_once(client: TestClient) -> None:
    text = client.get(BUILDS).text
    (fit,) = re.findall(r'<section class="part" aria-labelledby="h-fit">.*?</section>', text, flags=re.DOTALL)
    assert fit.count("Do the card and its plug stay clear of the side panel?</b>") == 1
    listed = fit.partition('class="rules open-rules"')[2]
    assert "Dunlin" in listed.partition("</p>")[0]
    assert "Plover with Lantern 36" in listed.partition("</p>")[0]
    client.post(f"{PARTS}/{CARD}/facts", data=form_of(client, CARD) | {"fact-height_mm": "160"})
    assert "Doesn’t fit:" in client.get(BUILDS).text.partition('class="rules open-rules"')[2]
    client.post(f"{PARTS}/{CARD}/facts", data=form_of(client, CARD) | {"fact-height_mm": "120"})
    assert "open-rules" not in client.get(BUILDS).text


def test_the_power_of_each_build_stands_in_a_picture_and_a_table_with_what_was_measured(
    client: TestClient,
) -> None:
    text = client.get(BUILDS).text
    wren = text.partition('id="fit-wren"')[2].partition('id="price-of-')[0]
    assert "What Wren draws, against what its supply bears" in wren
    assert wren.count("<tr><th") == 1 + 5
    assert "What the supply hands on of it is not on record: all of it is taken" in wren
    assert "the supply hands on 90\u00a0% of it" in text
    assert "graphics 2 times for 0.1\u00a0ms" in text, "what is assumed is told"


def test_a_fact_that_an_answer_waits_for_is_noted_and_settles_it(client: TestClient) -> None:
    sent = form_of(client, CARD) | {"fact-height_mm": "121,5", "source": "a ruler"}
    looked = client.post(f"{PARTS}/{CARD}/facts?check=1", data=sent)
    assert "Read as 121.5\u00a0mm." in looked.text
    page = client.post(f"{PARTS}/{CARD}/facts", data=sent)
    assert "Noted: height above the slot, its power plug not counted 121.5\u00a0mm." in page.text
    assert "All is known" not in page.text
    assert "something is not known yet" not in client.get(BUILDS).text
    taken = client.post(f"{PARTS}/{CARD}/facts/undo", data={"noted": page.url.params["noted"]})
    assert "Noted: height above the slot, its power plug not counted not known." in taken.text
    assert "something is not known yet" in client.get(BUILDS).text


def test_a_card_that_is_too_high_does_not_fit(client: TestClient) -> None:
    client.post(f"{PARTS}/{CARD}/facts", data=form_of(client, CARD) | {"fact-height_mm": "160"})
    text = client.get(BUILDS).text
    assert "Dunlin and Plover with Lantern 36 don’t fit." in text
    assert (
        "Doesn’t fit by one of 27 rules: Do the card and its plug stay clear of the side panel? No." in text
    )


def test_only_what_was_changed_is_noted(client: TestClient, wb: Desk) -> None:
    before = facts_ever(wb, CASE)
    client.post(f"{PARTS}/{CASE}/facts", data=form_of(client, CASE))
    assert facts_ever(wb, CASE) == before
    client.post(f"{PARTS}/{CASE}/facts", data=form_of(client, CASE) | {"fact-cooler_height_mm": "160"})
    (added,) = facts_ever(wb, CASE)[len(before) :]
    assert (added.fact, added.value, added.source) == ("cooler_height_mm", 160, "its label")
    assert "163\u00a0mm (the maker&#39;s page, 20 November 2026)" in client.get(f"{PARTS}/{CASE}").text


def test_that_something_is_not_known_is_said_by_a_tick(client: TestClient, wb: Desk) -> None:
    sent = form_of(client, CASE) | {"unknown-bays_25": "yes"}
    client.post(f"{PARTS}/{CASE}/facts", data=sent)
    assert (facts_ever(wb, CASE)[-1].fact, facts_ever(wb, CASE)[-1].value) == ("bays_25", None)
    assert "Looked for, not known" in client.get(f"{PARTS}/{CASE}").text
    assert form_of(client, CASE)["unknown-bays_25"] == "yes"


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"fact-slots": "7.5"}, "it is counted: write a whole number"),
        ({"fact-slots": ""}, "write it, or say that it is not known"),
        ({"fact-slots": "8", "unknown-slots": "yes"}, "Both a value and that it is not known"),
        ({"fact-radiators": "top; wide 240"}, "each begins with a word of what it says: sizes"),
        ({"fact-slots": "8", "source": ""}, "It is not said where this is from"),
        ({"fact-slots": "8", "on": "2999-01-01"}, "This day is still to come"),
        ({"fact-slots": "8", "seen": "1"}, "This was noted in another window since"),
    ],
)
def test_mistakes_stand_at_their_field_and_nothing_typed_is_lost(
    client: TestClient, wb: Desk, sent: dict[str, str], said: str
) -> None:
    before = facts_ever(wb, CASE)
    page = client.post(f"{PARTS}/{CASE}/facts", data=form_of(client, CASE) | {"fact-bays_25": "4"} | sent)
    assert page.status_code == 422
    assert any(said in each for each in errors(page.text)), errors(page.text)
    assert 'name="fact-bays_25" value="4"' in page.text
    assert facts_ever(wb, CASE) == before


def test_the_catalogue_shows_a_kind_without_script_and_takes_a_part_that_no_build_has(
    client: TestClient,
) -> None:
    assert "17 parts are on this workbench" in client.get(PARTS).text
    boards = client.get(f"{PARTS}?kind=board").text
    assert "Nimtal Mole X" in boards
    assert "Brellow Breeze" not in boards
    assert 'value="system licence"' in client.get(f"{PARTS}?edit=new-part").text
    page = client.post(f"{PARTS}/new", data={"kind": "screen", "name": "Nimtal Pane"})
    assert "Nothing is known of Nimtal Pane yet." in page.text
    again = client.post(f"{PARTS}/new", data={"kind": "screen", "name": "nimtal pane", "note": "27 inch"})
    assert again.status_code == 422
    assert "is it the same part?" in errors(again.text)[0]
    assert "27 inch" in again.text
    assert "The name is missing" in client.post(f"{PARTS}/new", data={"kind": "screen", "name": ""}).text


def test_a_part_in_two_builds_is_asked_about_until_somebody_says_how_many_there_are(
    client: TestClient,
) -> None:
    sent = form_of(client, CARD)
    assert sent["fact-pieces"] == "1"
    assert "it moves between them" in client.get(f"{PARTS}/{CARD}").text
    assert "A part in more than one build" not in client.get(BUILDS).text
    client.post(f"{PARTS}/{CARD}/facts", data=sent | {"unknown-pieces": "yes"})
    text = client.get(BUILDS).text
    assert "Is it one that moves between them, or one for each?" in text
    assert "Two of them" in text
    page = client.post(f"{PARTS}/{CARD}/pieces", data={"pieces": "2"})
    assert "Two builds have it, and there is one for each." in page.text
    assert "A part in more than one build" not in client.get(BUILDS).text


def test_a_part_that_stands_twice_in_a_build_is_asked_about(client: TestClient, wb: Desk) -> None:
    build = shelves.one(wb, Build, "dunlin")
    shelves.save(wb, replace(build, parts=(*build.parts, CARD)), now=datetime(2031, 1, 1, tzinfo=UTC))
    text = client.get(BUILDS).text
    assert "Dunlin (two)" in text
    assert "there is one of it on record. Are there more?" in text
    client.post(f"{PARTS}/{CARD}/facts", data=form_of(client, CARD) | {"unknown-pieces": "yes"})
    text = client.get(BUILDS).text
    assert "are there so many?" in text
    assert "Two, which move" in text
    client.post(f"{PARTS}/{CARD}/pieces", data={"pieces": "2"})
    assert "Dunlin (two)" not in client.get(BUILDS).text


def test_what_is_assumed_of_power_is_changed_by_form_told_and_undone(client: TestClient) -> None:
    before = client.get(BUILDS).text
    assert 'name="rest_board" value="40"' in before
    page = client.post(f"{BUILDS}/power", data={"rest_board": "140", "draws_graphics_0_1": "2"})
    assert "board, each: 140\u00a0W (usually 40\u00a0W)" in page.text
    assert "343\u00a0W" in before
    assert "443\u00a0W" in page.text  # Plover for long
    assert "board, each: 140\u00a0W (before: 40\u00a0W)." in page.text
    undone = client.post(f"{BUILDS}/power/1/undo")
    assert "usually" not in undone.text
    assert "board, each: 40\u00a0W (before: 140\u00a0W)." in undone.text
    stale = client.post(f"{BUILDS}/power/1/undo")
    assert stale.status_code == 409
    old = client.get(f"{BUILDS}?worth=power-1").text
    assert "power/1/undo" not in old, "what was changed again since has no way back"


def test_a_number_of_power_that_cannot_be_is_told_at_its_field(client: TestClient) -> None:
    sent = {"rest_board": "many", "rest_memory": "9"}
    looked = client.post(f"{BUILDS}/power?check=1", data=sent, headers={"HX-Request": "true"})
    for refused in (client.post(f"{BUILDS}/power", data=sent), looked):
        field = refused.text.partition('id="power-rest_board-field"')[2].partition('id="power-rest_memory')[0]
        assert 'value="many"' in field
        assert "cannot stand there; write a number from 0 to 1000" in field
        assert 'name="rest_memory" value="9"' in refused.text, "what was typed stays"
        assert 'id="assumed" open' in refused.text
    assert client.post(f"{BUILDS}/power", data=sent).status_code == 422
    assert 'name="rest_memory" value="8"' in client.get(BUILDS).text, "nothing of it was kept"
    assert "usually" not in client.post(f"{BUILDS}/power", data={"rest_board": ""}).text


def test_how_good_a_part_is_at_what_the_study_tests_is_asked_as_well(client: TestClient, wb: Desk) -> None:
    sent = form_of(client, CARD)
    assert {"fact-performance_games", "fact-performance_work"} <= set(sent)
    page = client.post(f"{PARTS}/{CARD}/facts", data=sent | {"fact-performance_games": "1,3"})
    assert "how good it is at games 1.3\u00a0times" in page.text
    assert (facts_ever(wb, CARD)[-1].fact, facts_ever(wb, CARD)[-1].value) == ("performance:games", 1.3)
    assert "fact-performance_games" not in form_of(client, CASE)


def test_a_mark_far_from_others_of_its_kind_is_kept_with_a_tick(client: TestClient, wb: Desk) -> None:
    sent = form_of(client, CARD) | {"fact-performance_games": "146"}
    asked = client.post(f"{PARTS}/{CARD}/facts", data=sent)
    assert asked.status_code == 422
    assert "the highest of any other graphics here: is that so?" in asked.text
    assert "It is right, though far from the others of its kind" in asked.text
    assert all(fact.value != 146 for fact in facts_ever(wb, CARD))
    client.post(f"{PARTS}/{CARD}/facts", data=sent | {"sure": "yes"})
    assert facts_ever(wb, CARD)[-1].value == 146


def test_a_kind_that_no_rule_knows_is_told_on_the_page_of_the_part(client: TestClient) -> None:
    added = client.post(f"{PARTS}/new", data={"kind": "<b>toaster", "name": "Fen 2", "note": ""})
    assert "No rule knows the kind “&lt;b&gt;toaster”" in added.text
    assert "No rule knows" not in client.get(f"{PARTS}/{CARD}").text


def test_a_part_that_is_not_there_is_told(client: TestClient) -> None:
    assert client.get(f"{PARTS}/lantern").status_code == 404


@pytest.mark.parametrize(
    "place", [PARTS, f"{PARTS}?edit=new-part", f"{PARTS}/{CARD}", f"{PARTS}/{CARD}?edit=facts&fact=height_mm"]
)
def test_nothing_is_in_anybodys_way(served: Served, page: Page, place: str) -> None:
    page.set_viewport_size({"width": 360, "height": 780})
    page.goto(served.url + place)
    assert axe_violations(page) == []
    assert not too_wide(page)


def test_a_missing_fact_is_noted_from_the_builds_by_keyboard(served: Served, page: Page) -> None:
    page.goto(served.url + BUILDS)
    page.locator(".open-rules a", has_text="Note it").first.press("Enter")
    field = page.get_by_role("textbox", name="Height above the slot, its power plug not counted")
    expect(field).to_be_focused()
    page.keyboard.type("120")
    source = page.get_by_role("textbox", name="Where this is from")
    expect(source).to_have_value("")
    source.focus()
    page.keyboard.type("a ruler")
    page.keyboard.press("Enter")
    expect(page.locator("#done")).to_contain_text("120")


def test_an_answer_that_is_open_follows_what_is_noted_in_another_window(served: Served, page: Page) -> None:
    page.goto(served.url + BUILDS)
    page.locator("#rules-dunlin summary").click()
    shown = page.locator("#rules-dunlin li", has_text="Does the side panel close over the cooler?")
    expect(shown).to_be_visible()
    with page.expect_response(lambda answer: "hx-request" in answer.request.headers):
        note_facts(
            served.wb, "brellow-breeze", {"height_mm": "170"}, source="a ruler", on="",
            now=datetime.now(UTC), today=datetime.now(UTC).date(),
        )  # fmt: skip
    expect(page.locator("#fit-dunlin")).to_contain_text("Does the side panel close over the cooler? No.")
    expect(page.locator("#rules-dunlin")).to_have_attribute("open", "")
    expect(shown).to_contain_text("Doesn’t fit:")
