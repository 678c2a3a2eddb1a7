"""The money page of a study that lacks something: a tariff, prices, an audience, runs."""

from __future__ import annotations

from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.conftest import NOW
from tests.web.looking import Served
from tests.web.test_money import MONEY, plain

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.study.briefing import start_study


def without(client: TestClient, wb: Desk, *names: str) -> None:
    """Takes what electricity costs away from every audience."""
    table = client.get("/api/studies/saltmarsh").json()["study"]
    for each in table["audiences"]:
        for name in names:
            each.pop(name, None)
    assert client.put("/api/studies/saltmarsh", json=table).status_code == 200


def test_without_a_tariff_no_electricity_is_counted_and_the_page_says_so(
    client: TestClient, wb: Desk
) -> None:
    without(client, wb, "tariff")
    told = plain(client.get(MONEY).text)
    assert "Electricity is not in it: what a kilowatt-hour costs this audience is not on record." in told
    assert "not counted" in told


def test_without_prices_it_says_what_is_missing_and_where_to_go(client: TestClient) -> None:
    client.post("/studies/saltmarsh/brief/currency", data={"symbol": "cr", "decimals": "2"})
    page = client.get(MONEY)
    assert "Fewer than two machines have a price" in plain(page.text)
    assert 'href="/studies/saltmarsh/builds">Write down prices' in page.text


def test_of_a_machine_without_a_price_it_says_so_and_goes_on_with_the_others(
    client: TestClient, served: Served, page: Page
) -> None:
    client.post("/studies/saltmarsh/brief/currency", data={"symbol": "cr", "decimals": "2"})
    for build, price in (("plover", "1,000.00"), ("dunlin", "1,012.50")):
        client.post(f"/studies/saltmarsh/builds/price-{build}", data={"price": price, "on": "2031-05-04"})
    told = plain(client.get(MONEY).text)
    assert "Mostly play: Plover" in told
    assert "Wren" in told[told.index("To be known with it") :][:400]
    page.goto(f"{served.url}{MONEY}")
    page.get_by_role("slider", name="Price of Plover").fill("1100")
    expect(page.locator("#moving-read p").first).to_contain_text("Plover at 1,100.00\u00a0cr")
    page.goto(f"{served.url}{MONEY}?pair=wren-mild~plover-mild")
    page.get_by_role("slider", name="Kept for").fill("5")
    expect(page.locator("#moving-read p").first).to_contain_text("Over 5\u00a0years: Plover")


def test_without_an_audience_the_studys_own_index_stands_in(client: TestClient, wb: Desk) -> None:
    for each in load_study(wb, "saltmarsh").study.audiences:
        client.post(f"/studies/saltmarsh/brief/audiences/{each.key}/drop")
    told = plain(client.get(MONEY).text)
    assert "No audience is on record" in told
    assert "All tests alike:" in told


def test_a_study_in_which_nothing_was_measured_says_what_to_do_first(
    empty: Desk, empty_client: TestClient
) -> None:
    key = start_study(empty, {"title": "New"}, now=NOW).key
    told = plain(empty_client.get(f"/studies/{key}/money").text)
    assert "Nothing has been measured yet" in told
    assert "Nobody has said these yet: they stand in until you do." in told
