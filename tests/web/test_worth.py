"""Audiences on the brief, prices and sound readings on the builds: given by hand, or by a program."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk

BRIEF, BUILDS, API = (
    "/studies/saltmarsh/brief",
    "/studies/saltmarsh/builds",
    "/api/studies/saltmarsh",
)
NIGHT = {"name": "Night desk", "groups-games": "8", "groups-work": "2", "properties-speed": "1"}


def errors(text: str) -> list[str]:
    """What is said to be wrong, field by field."""
    return re.findall(r'class="err">.*?<span>(.*?)</span>', text, flags=re.DOTALL)


def shares(text: str) -> list[str]:
    """The shares beside the fields of a form, the empty ones left out."""
    return [each for each in re.findall(r"<output[^>]*>([^<]*)<", text) if each]


def test_an_audience_is_added_told_as_shares_and_undone(client: TestClient, wb: Desk) -> None:
    page = client.post(f"{BRIEF}/new-audience", data=NIGHT)
    assert "Night desk is an audience of the study now." in page.text
    assert "The audiences were changed from" in page.text, "runs are on record"
    assert "rescaled from 8 and 2, which add up to 10" in page.text
    assert shares(client.get(f"{BRIEF}?edit=audience-night-desk").text) == [
        "80\u00a0%",
        "20\u00a0%",
        "100\u00a0%",
    ]
    client.post("/studies/saltmarsh/undo", data={"change": page.url.params["done"], "page": "brief"})
    assert "night-desk" not in [each.key for each in load_study(wb, "saltmarsh").study.audiences]


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"name": ""}, "The name is missing"),
        ({"groups-games": "-1"}, "A weight must be 0 or more"),
        ({"groups-games": "0", "groups-work": ""}, "has a weight above 0"),
        ({"groups-games": "many"}, "is not a number"),
        ({"properties-speed": "0"}, "No property has a weight above 0"),
        ({"fixed": "2x"}, "is no amount"),
        ({"hours_from": "1500", "hours_to": "900"}, "write the lower one first"),
        ({"hours_from": "0"}, "a whole year has 8760"),
        ({"tariff_to": "dear"}, "is no amount"),
    ],
)
def test_mistakes_stand_at_their_field_and_nothing_typed_is_lost(
    client: TestClient, sent: dict[str, str], said: str
) -> None:
    page = client.post(f"{BRIEF}/new-audience", data={**NIGHT, "told": "by lamplight", **sent})
    assert page.status_code == 422
    assert any(said in each for each in errors(page.text))
    assert "by lamplight" in page.text


def test_hours_and_tariff_are_kept_as_spans_and_come_back_in_their_fields(
    client: TestClient, wb: Desk
) -> None:
    sent = {"hours_from": "900", "hours_to": "1500", "tariff_from": "0,3"}
    page = client.post(f"{BRIEF}/new-audience", data={**NIGHT, **sent})
    assert "900 to 1,500\u00a0h" in page.text
    assert "0.3\u00a0dl" in page.text
    there = load_study(wb, "saltmarsh").study.audiences[-1]
    assert (there.hours_a_year, there.tariff_minor) == ((900.0, 1500.0), ("0.3", "0.3"))
    again = client.post(f"{BRIEF}/audience-night-desk", data={**NIGHT, **sent, "tariff_to": "0.4"})
    assert "What electricity costs Night desk was changed." in again.text
    client.post("/studies/saltmarsh/undo", data={"change": again.url.params["done"], "page": "brief"})
    form = client.get(f"{BRIEF}?edit=audience-night-desk").text
    assert all(f'name="{name}" value="{value}"' in form for name, value in (
        ("hours_from", "900"), ("hours_to", "1500"), ("tariff_from", "0.3"), ("tariff_to", "0.3"),
    ))  # fmt: skip


def test_audiences_are_ordered_and_taken_out(client: TestClient, wb: Desk) -> None:
    first, second = (each.key for each in load_study(wb, "saltmarsh").study.audiences[:2])
    assert (
        "order of the audiences" in client.post(f"{BRIEF}/audiences/{second}/move", data={"way": "up"}).text
    )
    assert load_study(wb, "saltmarsh").study.audiences[0].key == second
    assert "out of the audiences" in client.post(f"{BRIEF}/audiences/{first}/drop").text


def test_examples_are_offered_where_there_is_none(client: TestClient, wb: Desk) -> None:
    for each in load_study(wb, "saltmarsh").study.audiences:
        client.post(f"{BRIEF}/audiences/{each.key}/drop")
    assert "Half and half" in client.get(BRIEF).text
    client.post(f"{BRIEF}/audiences/example", data={"example": "half-and-half"})
    (taken,) = load_study(wb, "saltmarsh").study.audiences
    assert taken.groups == {"games": 50.0, "work": 50.0}


def test_the_currency_is_checked(client: TestClient) -> None:
    page = client.post(f"{BRIEF}/currency", data={"symbol": "d l", "decimals": "7"})
    assert len(errors(page.text)) == 2
    refused = client.post(f"{BRIEF}/currency", data={"symbol": "", "decimals": "0"})
    assert any("must buy things for money" in each for each in errors(refused.text))


def test_a_price_is_echoed_kept_taken_back_and_put_back(client: TestClient) -> None:
    looked = client.post(f"{BUILDS}/price-wren?check=1", data={"price": "1,001", "on": "2031-05-03"})
    assert "Read as 1,001\u00a0dl." in looked.text
    kept = client.post(f"{BUILDS}/price-wren", data={"price": "1,001", "on": "2031-05-03"})
    assert "1,001\u00a0dl, asked on 3 May 2031. This is on record." in kept.text
    number = kept.url.params["worth"].removeprefix("price-")
    gone = client.post(f"{BUILDS}/prices/{number}/take-back")
    assert "This was taken back" in gone.text
    assert "This is on record" in client.post(f"{BUILDS}/prices/{number}/put-back").text


def test_a_price_of_a_day_to_come_is_refused_and_nothing_typed_is_lost(client: TestClient) -> None:
    sent = {"price": "1,001", "on": "2031-05-06", "note": "from the counter"}
    page = client.post(f"{BUILDS}/price-wren", data=sent)
    assert errors(page.text) == [
        "6 May 2031 is still to come: nobody can have seen it; give the day on which it was seen."
    ]
    assert 'value="from the counter"' in page.text
    refused = client.post(f"{API}/prices", json={"build": "wren", "price": "7", "on": "2031-05-06"})
    assert (refused.status_code, refused.json()["error"]["where"]) == (422, "on")


def test_a_price_far_from_the_last_one_is_kept_once_somebody_is_sure(client: TestClient) -> None:
    sent = {"price": "99800", "on": "2031-05-03"}
    page = client.post(f"{BUILDS}/price-plover", data=sent)
    assert "that this build cost on" in page.text
    assert "It is right: keep it" in page.text
    kept = client.post(f"{BUILDS}/price-plover", data={**sent, "sure": "yes"})
    assert "99,800\u00a0dl, asked on 3 May 2031. This is on record." in kept.text
    program = {"build": "wren", "price": "99800"}
    assert client.post(f"{API}/prices", json=program).status_code == 422
    assert client.post(f"{API}/prices", json={**program, "sure": True}).status_code == 200


def test_a_price_without_a_currency_asks_for_it_once(client: TestClient, wb: Desk) -> None:
    table = client.get(API).json()["study"]
    table.pop("currency")
    table.pop("money")
    for each in table["audiences"]:
        each.pop("fixed", None)
        each.pop("tariff", None)
    assert client.put(API, json=table).status_code == 200
    assert errors(client.post(f"{BUILDS}/price-wren", data={"price": "7"}).text) == [
        "A price needs a currency; write its sign, once for the whole study."
    ]
    client.post(f"{BUILDS}/price-wren", data={"price": "7", "symbol": "cr", "decimals": "2"})
    currency = load_study(wb, "saltmarsh").study.currency
    assert currency is not None
    assert currency.symbol == "cr"


def test_an_old_price_is_told(client: TestClient) -> None:
    for number in (1, 2, 3):
        client.post(f"{BUILDS}/prices/{number}/take-back")
    client.post(f"{BUILDS}/price-wren", data={"price": "700", "on": "2031-04-01"})
    assert "The newest price is 33 days old" in client.get(BUILDS).text


def test_a_reading_from_another_distance_is_told_while_it_is_written(client: TestClient) -> None:
    sent = {"level_db": "38", "background_db": "26", "weighting": "A", "distance_m": "2", "test": "causeway"}
    said = client.post(f"{BUILDS}/sound-wren-mild?check=1", data=sent).text.replace("\u00a0", " ")
    assert "Read from 2 m, the others from 0.6 m: distance alone makes a difference" in said


def test_a_reading_is_kept_and_one_close_to_the_room_is_told(client: TestClient) -> None:
    sent = {"level_db": "29,5", "background_db": "28", "weighting": "A", "test": "causeway"}
    assert (
        "Only 1.5\u00a0dB over the room" in client.post(f"{BUILDS}/sound-wren-mild?check=1", data=sent).text
    )
    kept = client.post(f"{BUILDS}/sound-wren-mild", data=sent)
    assert "29.5\u00a0dB(A) in Salt Causeway, room 28.0\u00a0dB(A). This is on record." in kept.text
    wrong = client.post(f"{BUILDS}/sound-wren-mild", data={**sent, "level_db": "", "room_c": "hot"})
    assert len(errors(wrong.text)) == 2


def test_programs_add_take_back_and_put_back(client: TestClient) -> None:
    for place, sent in (
        ("prices", {"build": "wren", "price": "700"}),
        ("sound", {"setup": "wren-mild", "level_db": 38.5, "background_db": 27}),
    ):
        number = client.post(f"{API}/{place}", json=sent).json()["id"]
        assert client.delete(f"{API}/{place}/{number}").status_code == 200
        assert client.delete(f"{API}/{place}/{number}").status_code == 404
        again = client.post(f"{API}/{place}/{number}/back").json()["id"]
        listed = client.get(f"{API}/{place}").json()
        assert again in [each["id"] for each in listed["prices" if place == "prices" else "readings"]]


@pytest.mark.parametrize(
    ("place", "sent", "where"),
    [
        ("prices", {"build": "wren"}, "price"),
        ("prices", {"build": "heron", "price": "7"}, "build"),
        ("sound", {"setup": "wren-mild", "level_db": 20, "background_db": 30}, "background_db"),
    ],
)
def test_programs_are_told_the_field(client: TestClient, place: str, sent: object, where: str) -> None:
    refused = client.post(f"{API}/{place}", json=sent)
    assert refused.status_code == 422
    assert refused.json()["error"]["where"] == where


def test_programs_put_audiences_whole_with_their_study(client: TestClient) -> None:
    table = client.get(API).json()["study"]
    table["audiences"] = [{"key": "night", "name": "Night", "groups": {"game": 1}}]
    assert "no group 'game'" in client.put(API, json=table).json()["error"]["found"]
    table["audiences"][0]["groups"] = {"games": 1}
    assert client.put(API, json=table).status_code == 200
    assert [each["key"] for each in client.get(API).json()["study"]["audiences"]] == ["night"]


def test_shares_follow_while_they_are_typed_and_all_goes_by_keyboard(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{BRIEF}?edit=new-audience")
    page.keyboard.type("Night desk")
    page.get_by_label("Games").fill("3")
    page.get_by_label("Games").press("Tab")
    page.keyboard.type("1")
    expect(page.locator("#audience-groups-games-share")).to_have_text("75\u00a0%")
    expect(page.locator("#audience-groups-work-share")).to_have_text("25\u00a0%")
    assert axe_violations(page) == []
    page.keyboard.press("Enter")
    expect(page.locator("#done")).to_contain_text("Night desk is an audience")


@pytest.mark.parametrize("part", ["price-wren", "sound-wren-mild"])
def test_forms_of_builds_fit_a_phone_and_are_sound(phone: Page, served: Served, part: str) -> None:
    phone.goto(f"{served.url}{BUILDS}?edit={part}")
    assert axe_violations(phone) == []
    assert not too_wide(phone)
