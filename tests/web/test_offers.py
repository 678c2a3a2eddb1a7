"""Offers of parts and exchange rates on the builds page: given by hand, asked about, taken back."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide
from tests.web.test_worth import errors

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.study.pricing import paid_now
from evenhand.store.offers import offers_of

BUILDS = "/studies/saltmarsh/builds"
CARD = "harrowfen-lantern-40"
OFFER = {"item": "401", "symbol": "dl", "seller": "shop", "stock": "yes", "on": "2026-11-25"}
RATE = {"of": "cr", "of_decimals": "2", "rate": "2,45", "into": "dl", "on": "2026-11-20"}


def test_a_builds_price_is_told_beside_its_own_past(client: TestClient) -> None:
    page = client.get(BUILDS).text
    assert "998\u00a0dl, on 24 November 2026" in page
    assert "Usual is 998\u00a0dl: the median of" in page
    assert "it was lower on none of 28 days before, 998 to 1,044\u00a0dl." in page
    assert page.count('class="fig prices"') == 5
    assert "What Plover cost. From 998\u00a0dl on 27 August 2026 to 998\u00a0dl on 24 November 2026" in page
    days = re.search(r'id="days-plover".*?</table>', page, flags=re.DOTALL)
    assert days is not None
    assert "sum of its parts" in days[0]
    assert "counter price" in days[0]


def test_an_offer_is_echoed_kept_taken_back_and_put_back(client: TestClient, wb: Desk) -> None:
    place = f"{BUILDS}/offer-{CARD}"
    checked = client.post(f"{place}?check=1", data={**OFFER, "shipping": "9", "coupon": "20"})
    assert "Read as 401\u00a0dl, 390\u00a0dl in all." in checked.text
    kept = client.post(place, data={**OFFER, "shipping": "9", "coupon": "20"})
    assert (
        "390\u00a0dl (401\u00a0dl + 9\u00a0dl shipping − 20\u00a0dl coupon), by a shop, on 25 November 2026. "
        in kept.text
    )
    assert "This is on record." in kept.text
    last = offers_of(wb, [CARD])[-1]
    gone = client.post(f"{BUILDS}/offers/{last.id}/take-back")
    assert "This was taken back; it stays on record and counts no more." in gone.text
    assert last not in offers_of(wb, [CARD])
    client.post(f"{BUILDS}/offers/{last.id}/put-back")
    assert offers_of(wb, [CARD])[-1].item_minor == 401


def test_a_later_look_at_parts_makes_the_price_and_says_so(client: TestClient, wb: Desk) -> None:
    client.post(f"{BUILDS}/offer-{CARD}", data=OFFER)
    price = paid_now(wb, load_study(wb, "saltmarsh")).by_setup["plover-mild"]
    assert price.minor == 998 - 390 + 401
    page = client.get(BUILDS).text
    assert "1,009\u00a0dl, on 25 November 2026" in page
    own = page.partition("offer-harrowfen-lantern-40")[2].partition("</small>")[0]
    assert '<span class="quiet">25 November 2026</span>' in own, "a price of another day tells it"
    assert "Prices without a day: 24 November 2026." in page
    assert "the sum of its parts’ offers, the oldest of" in page
    told = client.get("/studies/saltmarsh/verdict").text
    assert "1,009\u00a0dl" in told


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"item": ""}, "The amount is missing"),
        ({"item": "-4"}, "is no amount"),
        ({"coupon": "401"}, "leaves 0"),
        ({"on": "2036-01-01"}, "is still to come"),
        ({"symbol": "mk"}, "is new here"),
        ({"item": "9000"}, "times the 414\u00a0dl that this part usually costs: is that so?"),
    ],
)
def test_mistakes_stand_at_their_field_and_nothing_typed_is_lost(
    client: TestClient, wb: Desk, wrong: dict[str, str], said: str
) -> None:
    before = offers_of(wb, [CARD])
    sent = {**OFFER, "note": "by the quay", **wrong}
    refused = client.post(f"{BUILDS}/offer-{CARD}", data=sent)
    assert refused.status_code == 422
    (told,) = errors(refused.text)
    assert said in told.replace("&#39;", "'")
    assert 'value="by the quay"' in refused.text
    assert offers_of(wb, [CARD]) == before


def test_an_absurd_amount_is_kept_once_it_is_confirmed(client: TestClient, wb: Desk) -> None:
    asked = client.post(f"{BUILDS}/offer-{CARD}", data={**OFFER, "item": "9000"})
    assert 'name="sure"' in asked.text
    client.post(f"{BUILDS}/offer-{CARD}", data={**OFFER, "item": "9000", "sure": "yes"})
    assert offers_of(wb, [CARD])[-1].item_minor == 9000


def test_other_currencies_ask_for_a_rate_and_count_by_it(client: TestClient) -> None:
    abroad = {**OFFER, "symbol": "cr", "decimals": "2", "item": "150,00"}
    said = client.post(f"{BUILDS}/offer-{CARD}", data=abroad).text
    assert "Mixed currencies without a rate: one offer is left out, in cr" in said
    asked = client.post(f"{BUILDS}/rate-new?check=1", data=RATE).text
    assert "Read as: 1\u00a0cr is 2.45\u00a0dl, of 20 November 2026." in asked
    kept = client.post(f"{BUILDS}/rate-new", data=RATE).text
    assert "1\u00a0cr is 2.45\u00a0dl, of 20 November 2026. This is on record." in kept
    place = client.get(f"{BUILDS}?edit=offer-{CARD}").text
    assert "last cost 368\u00a0dl on 25 November 2026" in place  # 150.00 × 2.45 = 367.5, a half rounded up
    assert "Changed by the rate of its day or the last before it: 1\u00a0cr is 2.45\u00a0dl" in place
    number = re.search(r"rates/(\d+)/take-back", place)
    assert number is not None
    assert "This was taken back" in client.post(f"{BUILDS}/rates/{number[1]}/take-back").text
    assert "This is on record." in client.post(f"{BUILDS}/rates/{number[1]}/put-back").text


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"rate": "0"}, "changes nothing"),
        ({"of": "dl", "of_decimals": ""}, "into itself"),
        ({"on": "x"}, "is no day"),
    ],
)
def test_what_is_no_rate_is_told_at_its_field(client: TestClient, wrong: dict[str, str], said: str) -> None:
    (told,) = errors(client.post(f"{BUILDS}/rate-new", data={**RATE, **wrong}).text)
    assert said in told


def test_offers_are_added_by_keyboard(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{BUILDS}?edit=offer-{CARD}")
    page.keyboard.type("395")
    page.keyboard.press("Tab")
    expect(page.locator("#offer-item-says")).to_have_text("Read as 395\u00a0dl, 395\u00a0dl in all.")
    assert axe_violations(page) == []
    page.locator("#offer-item").press("Enter")
    expect(page.locator("#done")).to_contain_text("395\u00a0dl, by a shop")


@pytest.mark.parametrize("part", [f"offer-{CARD}", "rate-new"])
def test_forms_fit_a_phone_and_are_sound(phone: Page, served: Served, part: str) -> None:
    phone.goto(f"{served.url}{BUILDS}?edit={part}")
    assert axe_violations(phone) == []
    assert not too_wide(phone)


def test_programs_add_take_back_and_put_back(client: TestClient) -> None:
    api = "/api/studies/saltmarsh"
    crown, drell = {"symbol": "cr", "decimals": 2}, {"symbol": "dl", "decimals": 0}
    offer = {"part": CARD, "item": "150.00", "currency": crown, "on": "2026-11-25"}
    rate = {"of": crown, "into": drell, "rate": "2.45", "on": "2026-11-20"}
    for place, sent in (("offers", offer), ("rates", rate)):
        number = client.post(f"{api}/{place}", json=sent).json()["id"]
        assert client.delete(f"{api}/{place}/{number}").status_code == 200
        assert client.delete(f"{api}/{place}/{number}").status_code == 404
        again = client.post(f"{api}/{place}/{number}/back").json()["id"]
        assert again in [each["id"] for each in client.get(f"{api}/{place}").json()[place]]
    told = client.get(f"{api}/offers").json()
    assert told["parts"][CARD]["days"]["2026-11-25"] == 368
    assert told["builds"]["plover"]["days"]["2026-11-25"] == 998 - 390 + 368


@pytest.mark.parametrize(
    ("place", "sent", "where"),
    [
        ("offers", {"part": CARD}, "item"),
        ("offers", {"part": CARD, "item": 4.5}, "item"),
        ("offers", {"part": CARD, "item": "90000"}, "item"),
        ("offers", {"part": CARD, "item": "9", "cost": "9"}, "cost"),
        ("offers", {"part": CARD, "item": "9", "currency": "cr"}, "currency"),
        ("rates", {"rate": "2"}, "of"),
        ("rates", {"of": {"symbol": "cr"}, "rate": "2"}, "of_decimals"),
    ],
)
def test_programs_are_told_the_field(client: TestClient, place: str, sent: object, where: str) -> None:
    refused = client.post(f"/api/studies/saltmarsh/{place}", json=sent)
    assert refused.status_code == 422
    assert refused.json()["error"]["where"] == where
