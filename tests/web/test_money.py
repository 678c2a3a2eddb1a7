"""The money page: who is better value and when that turns, what machines cost to own, and what is assumed."""

from __future__ import annotations

import random
import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.conftest import NOW
from tests.web.looking import Served, axe_violations

from evenhand.demo.truth import PRICED_ON
from evenhand.desk.money.basis import MoneyGround, Tried, ground_for
from evenhand.desk.money.moving import moving_ground
from evenhand.desk.money.owning import owning
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.pages.money_owning import heading_words, read_words
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.money.break_even import Value, better_value, break_even
from evenhand.publish.dates import day_words
from evenhand.publish.value_words import band_digits
from evenhand.store import shelves

MONEY = "/studies/saltmarsh/money"
LAST = max(NOW.date(), PRICED_ON)
PAIR = ("plover-mild", "dunlin-mild")
TELL = """async ([ground, asked]) => {
    const { answer } = await import("/static/owning.js");
    return asked.map((one) => answer(ground, one.prices, one.kept));
}"""


def plain(text: str) -> str:
    return unescape(re.sub(r"<[^>]+>", " ", text)).replace("\u00a0", " ")


def ground_in(wb: Desk, tried: Tried = Tried(), at: int = 0) -> MoneyGround:  # noqa: B008
    record = load_study(wb, "saltmarsh")
    judgement = judged_for(wb, record)
    found = ground_for(record, judgement, judgement.audiences[at], tried)
    assert found is not None
    return found


def test_it_opens_with_who_is_better_value_until_which_price_and_what_further_costs_make_of_it(
    client: TestClient,
) -> None:
    answer = plain(re.findall(r'class="answer">(.*?)</h1>', client.get(MONEY).text)[0])
    assert answer.startswith("Mostly play: Wren is the better value beside every other at today’s prices.")
    assert re.search(r"It keeps that below 7\d\d dl; from there to 7\d\d dl neither it nor Plover is", answer)
    assert re.search(
        r"Wren gives most for the money, Plover once further costs with either reach 9\d dl\.$", answer
    )


def test_whoever_must_buy_a_screen_and_a_desk_is_told_otherwise(client: TestClient) -> None:
    answer = plain(
        re.findall(r'class="answer">(.*?)</h1>', client.get(f"{MONEY}?audience=new-seats").text)[0]
    )
    assert answer.startswith("Mostly play, new seats: Plover is the better value beside every other")
    assert "Dunlin is" in answer or "Wren is" in answer
    told = plain(client.get(MONEY).text)
    assert "Mostly play, Half and half and Mostly editing" in told


def test_the_index_for_a_thousand_changes_its_order_with_fixed_costs(client: TestClient) -> None:
    told = plain(client.get(MONEY).text)
    assert re.search(r"Wren 1\.34\d", told)
    assert "Wren gives most for the money alone, Plover from 9" in told
    assert (
        "250 dl is what must be bought with any of them: Mostly play, new seats must, not this audience."
        in told
    )


def test_a_pair_that_is_asked_for_has_its_band_its_days_and_its_grid(client: TestClient) -> None:
    told = plain(client.get(f"{MONEY}?pair=plover-mild~dunlin-mild").text)
    assert re.search(r"Plover is worth 1,0\d\d dl \([\d,]+ to [\d,]+\) where Dunlin costs 1,012 dl", told)
    assert re.search(r"Where Dunlin costs 1,012 dl, Plover is better value below 1,0\d\d dl", told)


def test_the_days_on_which_it_turned_are_told_exactly_and_never_inside_the_band(
    client: TestClient, wb: Desk
) -> None:
    edge = ground_in(wb).edges[PAIR]
    even = round(break_even(1012, effect=edge.effect, half=edge.half).at)
    own = {40: 900, 30: 900, 20: 1200, 10: 1200, 5: even}
    for build, prices in (("plover", own), ("dunlin", dict.fromkeys((40, 27, 14, 1), 1012))):
        for ago, price in prices.items():
            on = (LAST - timedelta(days=ago)).isoformat()
            client.post(f"/studies/saltmarsh/builds/price-{build}", data={"price": str(price), "on": on})
    told = plain(client.get(f"{MONEY}?pair=plover-mild~dunlin-mild").text)
    days = {ago: day_words(LAST - timedelta(days=ago)) for ago in (20, 5)}
    assert re.search(rf"{days[20]}\s+Plover\s+Dunlin\s+1,200 dl\s+1,012 dl", told)
    assert re.search(rf"{days[5]}\s+Dunlin\s+neither\s+{even:,} dl\s+1,012 dl", told)
    assert "it turned two times" in told
    assert "Plover was better value on 20, Dunlin on 15; on" in told


def test_of_all_at_once_it_is_told_who_led_who_was_tied_and_what_was_left_out(
    client: TestClient, wb: Desk
) -> None:
    """Plover is dear for ten days and at the price at which it is level with Dunlin for ten more."""
    edge = ground_in(wb).edges[PAIR]
    even = round(break_even(1012, effect=edge.effect, half=edge.half).at)
    asked = {"plover": {19: 1200, 9: even}, "dunlin": {19: 1012, 9: 1012}, "wren": {19: 1500, 9: 1500}}
    for build, prices in asked.items():
        for ago, price in prices.items():
            on = (LAST - timedelta(days=ago)).isoformat()
            client.post(
                f"/studies/saltmarsh/builds/price-{build}", data={"price": str(price), "on": on, "sure": "1"}
            )
    part = load_study(wb, "saltmarsh").builds["wren"].parts[0]
    gone = {"part": part, "item": "100", "in_stock": False, "on": (LAST - timedelta(days=4)).isoformat()}
    assert client.post("/api/studies/saltmarsh/offers", json=gone).status_code == 200
    told = " ".join(plain(client.get(f"{MONEY}?pair=plover-mild~wren-mild").text).split())
    assert "Who led on the 15 days up to 4 May 2031 on which all could be had" in told
    assert (
        "Plover None Dunlin 10 (67 %) Wren None Plover and Dunlin tied 5 (33 %) A build leads where" in told
    )
    left = "Left out are five days on which one of them was out of stock and 70 days without a price of all."
    assert left in told
    assert "Empty outlines are days on which it was out of stock." in told


def test_no_price_of_a_band_that_is_told_has_a_winner(wb: Desk) -> None:
    for other in range(1000, 1040):
        ground = ground_in(wb, Tried(prices={"dunlin-mild": other}))
        edge = ground.edges[PAIR]
        even = break_even(other, effect=edge.effect, half=edge.half)
        low, high = re.findall(r"[\d,]+", plain(band_digits(even, ground.currency)).partition("(")[2])
        for price in (low, high):
            assert better_value(int(price.replace(",", "")), against=even) is Value.LEVEL
        assert better_value(int(low.replace(",", "")) - 1, against=even) is Value.A
        assert better_value(int(high.replace(",", "")) + 1, against=even) is Value.B


def test_what_each_draws_at_the_wall_is_told_and_what_that_is_in_a_year(client: TestClient, wb: Desk) -> None:
    told = plain(client.get(MONEY).text)
    for setup, name in (("plover-mild", "Plover"), ("wren-mild", "Wren")):
        watts = ground_in(wb).watts[setup]
        yearly = f"{0.9 * watts:.0f} to {1.5 * watts:.0f} kWh a year"
        assert f"{name} {watts:.0f} W, {yearly}" in told


def test_sliders_without_script_are_answered_by_the_server(client: TestClient) -> None:
    told = plain(client.get(f"{MONEY}?pair=plover-mild~dunlin-mild&price-plover-mild=1044&years=5").text)
    assert "Plover at 1,044 dl and Dunlin at 1,012 dl: Dunlin is better value." in told
    assert "Over 5 years: Plover" in told
    same = plain(client.get(f"{MONEY}?pair=plover-mild~dunlin-mild&price-plover-mild=998&years=3").text)
    assert "Plover at 998 dl and Dunlin at 1,012 dl: Plover is better value." in same


@pytest.mark.parametrize(
    "sent", ["hours=-5", "hours=many", "years=0", "tariff=-1", "price-wren-mild=0", "years=99"]
)
def test_what_cannot_be_tried_on_is_refused_in_words(client: TestClient, sent: str) -> None:
    answer = client.get(f"{MONEY}?{sent}")
    assert answer.status_code == 422
    assert "cannot be tried on" in plain(answer.text)


def test_inside_the_band_nobody_is_the_better_buy(wb: Desk) -> None:
    for price in range(990, 1060):
        ground = ground_in(wb, Tried(prices={"plover-mild": price}))
        said = read_words(ground, owning(ground), PAIR)[0]
        inside = "level by value" in said or "not told apart by value" in said
        assert inside or "is better value" in said
        assert ("Plover is better value" in said) <= (price < 1030)
        assert ("Dunlin is better value" in said) <= (price > 1020)


TERMS = {
    "years": "4", "repairs": "25", "resale_from": "55", "resale_to": "75", "lost_from": "20", "lost_to": "30",
    "budget": "1,000", "cash": "", "saved": "0", "horizon_months": "24",
}  # fmt: skip


def test_what_is_assumed_is_saved_told_and_undone(client: TestClient, wb: Desk) -> None:
    before = load_study(wb, "saltmarsh").study.money
    page = client.post(f"{MONEY}/terms", data=TERMS)
    assert "What is assumed of money was changed." in page.text
    told = load_study(wb, "saltmarsh").study.money
    assert told is not None
    assert (told.years, told.repairs_minor, told.resale, told.budget_minor) == (4.0, 25, (0.55, 0.75), 1000)
    assert told.fall == pytest.approx((0.22314, 0.35667), abs=1e-5)
    assert "55 to 75 % of its price" in plain(page.text)
    assert "This was changed after runs were on record" not in page.text
    client.post("/studies/saltmarsh/undo", data={"change": page.url.params["done"], "page": "money"})
    assert load_study(wb, "saltmarsh").study.money == before


def test_a_form_that_is_saved_as_it_was_shown_changes_nothing(client: TestClient, wb: Desk) -> None:
    before = load_study(wb, "saltmarsh").study.money
    form = client.get(f"{MONEY}?edit=terms").text
    sent = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
    page = client.post(f"{MONEY}/terms", data=sent)
    assert "done" not in page.url.params
    assert load_study(wb, "saltmarsh").study.money == before


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"years": "0"}, "at most 20 years"),
        ({"years": "long"}, "is not a number"),
        ({"resale_to": "130"}, "a share from 0 to 100 %"),
        ({"resale_from": "80", "resale_to": "60"}, "Write the lower one first"),
        ({"lost_from": "-5"}, "from 0 to 99 %"),
        ({"repairs": "-20"}, "is no amount"),
        ({"budget": "1,000.50"}, "dl has no decimals"),
        ({"horizon_months": "2.5"}, "Months are whole"),
        ({"horizon_months": "1000"}, "1 to 240 months"),
    ],
)
def test_mistakes_stand_at_their_field_and_nothing_typed_is_lost(
    client: TestClient, wb: Desk, sent: dict[str, str], said: str
) -> None:
    before = load_study(wb, "saltmarsh").study.money
    page = client.post(f"{MONEY}/terms", data={**TERMS, **sent})
    assert page.status_code == 422
    assert said.lower() in plain(page.text).lower()
    assert all(f'value="{value}"' in page.text for value in sent.values())
    assert load_study(wb, "saltmarsh").study.money == before


def test_amounts_are_echoed_as_they_were_read(client: TestClient) -> None:
    looked = client.post(f"{MONEY}/terms?check=1", data={**TERMS, "budget": "1,000"})
    assert "Read as 1,000\u00a0dl." in looked.text


def test_terms_that_somebody_else_changed_meanwhile_are_not_overwritten(client: TestClient) -> None:
    seen = re.findall(r'name="seen" value="(\d+)"', client.get(f"{MONEY}?edit=terms").text)[0]
    client.post(f"{MONEY}/terms", data={**TERMS, "seen": seen})
    page = client.post(f"{MONEY}/terms", data={**TERMS, "years": "7", "seen": seen})
    assert "was changed in another window" in page.text
    assert 'value="7"' in page.text


def drawn(rng: random.Random, ground: MoneyGround) -> Mapping[str, Any]:
    """What sliders may say, and terms of some study."""

    def span(most: float) -> list[float]:
        return sorted(round(rng.uniform(0, most), 3) for _ in range(2))

    return {
        "prices": {setup: rng.randint(300, 2500) for setup in ground.priced},
        "kept": {
            "years": rng.choice((0.5, 1.0, 2.5, 3.0, 10.0)), "repairs": rng.choice((0, 20, 75)),
            "resale": span(1.0), "fall": span(1.0), "hours": rng.choice((None, span(4000), [1000, 1000])),
            "tariff": rng.choice((None, span(1.0), [0.3, 0.3])),
        },
    }  # fmt: skip


def test_the_page_answers_by_itself_what_python_works_out(served: Served, page: Page, wb: Desk) -> None:
    rng, ground = random.Random(23), ground_in(wb)
    asked = [drawn(rng, ground) for _ in range(250)]
    page.goto(served.url)
    found = page.evaluate(TELL, [moving_ground(ground, PAIR), asked])
    kinds = set()
    for one, said in zip(asked, found, strict=True):
        kept = replace(
            ground.kept, years=one["kept"]["years"], repairs_minor=one["kept"]["repairs"],
            **{
                name: None if one["kept"][name] is None else tuple(one["kept"][name])
                for name in ("resale", "fall", "hours", "tariff")
            },
        )  # fmt: skip
        there = replace(ground, prices=one["prices"], kept=kept)
        own = owning(there)
        assert said["said"] == list(read_words(there, own, PAIR))
        assert said["head"] == heading_words(there, own)
        for setup, each in own.by_setup.items():
            theirs = said["owns"][setup]
            assert (theirs["lost"], theirs["repairs"]) == (each.lost_minor, each.repairs_minor)
            assert theirs["whole"] == {"low": each.whole.low, "mid": each.whole.mid, "high": each.whole.high}
            assert (theirs["energy"] is None) is (each.energy is None)
        kinds |= {re.sub(r"[\d,.]+", "", words) for words in said["said"]}
    assert len(kinds) > 8, "sentences of every sort were compared"


def test_a_slider_answers_at_once_and_tells_how_it_stands(served: Served, page: Page, wb: Desk) -> None:
    page.goto(f"{served.url}{MONEY}?pair=plover-mild~dunlin-mild")
    read = page.locator("#moving-read p").first
    expect(read).to_contain_text("Plover is better value")
    page.get_by_role("slider", name="Price of Plover").fill("1044")
    expect(read).to_have_text("Plover at 1,044\u00a0dl and Dunlin at 1,012\u00a0dl: Dunlin is better value.")
    years = page.get_by_role("slider", name="Kept for")
    years.fill("5")
    expect(years).to_have_attribute("aria-valuetext", "5\u00a0years")
    tried = ground_in(wb, Tried(prices={"plover-mild": 1044}, years=5.0))
    wanted = read_words(tried, owning(tried), PAIR)
    expect(page.locator("#moving-read p")).to_have_text(list(wanted))
    expect(page.locator("#owning > h2")).to_have_text(heading_words(tried, owning(tried)))
    expect(page.locator("#own-drawn svg")).to_have_attribute(
        "aria-label", re.compile("over 5.years.*Plover 1,")
    )
    own = owning(tried).by_setup["plover-mild"]
    places = [page.locator(f'#own-drawn [data-{kind}="energy"]').first for kind in ("part", "called")]
    bar, words = ((place.bounding_box() or {"x": -9.0})["x"] for place in places)
    assert abs(bar - words) < 3, "the word moves with its part"
    cell = page.locator('#own-table tr[data-setup="plover-mild"] [data-cell="whole"]')
    expect(cell).to_contain_text(f"{own.whole.mid:,}\u00a0dl ({own.whole.low:,} to {own.whole.high:,})")
    years.press("ArrowRight")
    expect(years).to_have_attribute("aria-valuetext", "5.5\u00a0years")
    years.press("ArrowDown")
    years.press("ArrowLeft")
    expect(years).to_have_attribute("aria-valuetext", "4.5\u00a0years")
    years.fill("3")
    page.get_by_role("slider", name="Price of Plover").fill("998")
    plainly = ground_in(wb)
    expect(page.locator("#moving-read p")).to_have_text(list(read_words(plainly, owning(plainly), PAIR)))


def test_sliders_that_were_moved_stay_true_where_the_page_follows_the_workbench(
    served: Served, page: Page, wb: Desk
) -> None:
    page.goto(f"{served.url}{MONEY}?pair=plover-mild~dunlin-mild")
    slider = page.get_by_role("slider", name="Price of Plover")
    slider.fill("1044")
    with page.expect_response(lambda answer: "hx-request" in answer.request.headers and MONEY in answer.url):
        study = load_study(wb, "saltmarsh").study
        shelves.save(wb, replace(study, title="Told meanwhile"), now=datetime.now(UTC))
    page.wait_for_timeout(500)
    price = int(slider.input_value())
    expect(page.locator("#moving-read p").first).to_contain_text(f"Plover at {price:,}\u00a0dl")
    expect(page.locator("#moving output").first).to_have_text(f"{price:,}\u00a0dl")
    slider.fill("1040")
    expect(page.locator("#moving-read p").first).to_contain_text("Plover at 1,040\u00a0dl")


def test_it_is_sound_and_fits_a_phone(served: Served, page: Page) -> None:
    page.goto(f"{served.url}{MONEY}")
    assert axe_violations(page) == []
    page.set_viewport_size({"width": 360, "height": 780})
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.goto(f"{served.url}{MONEY}?edit=terms")
    assert axe_violations(page) == []
