"""Better parts and upgrade paths in the browser: the answer, its picture, what lacks, and honest refusals."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from itertools import count

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.desk.money.small_market import DAY, DRELL, GOOD, MINOR, STUDY, lay_market
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import sound

from evenhand.desk.opening import Desk
from evenhand.desk.parts.assuming import change_terms
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.offers import Offer
from evenhand.records.studies import Study
from evenhand.store import offers, shelves
from evenhand.web.work import Work

PAGE = f"/studies/{STUDY}/money"


@pytest.fixture
def stocked(quay: Desk) -> Desk:
    """The small study, of which no part has a price."""
    return quay


@pytest.fixture
def market(stocked: Desk) -> Desk:
    lay_market(stocked)
    study = shelves.one(stocked, Study, STUDY)
    shelves.save(stocked, replace(study, money=MoneyTerms(saved_minor=20)), now=NOW)
    return stocked


@pytest.fixture
def site(market: Desk) -> Iterator[TestClient]:
    with client_of(market) as opened:
        yield opened


def words(answer: str) -> str:
    return " ".join(answer.replace("\u00a0", " ").split())


def whole(site: TestClient, path: str) -> str:
    """A page once its search has ended."""
    for _ in range(200):
        text = site.get(path).text
        if "every 500ms" not in text:
            return text
        time.sleep(0.1)
    raise AssertionError(f"{path} does not end")


def test_the_best_for_a_budget_opens_the_page(site: TestClient) -> None:
    said = words(site.get(f"{PAGE}/better?build=wren&budget=1000").text)
    told = "Ostrey 70 and Garth 850 in Wren, 990 dl in all: about 40 % above Wren’s own index."
    assert f'<h1 class="answer">{told}' in said
    assert "Build it, and measure it, before anybody spends money on it." in said
    assert "The makers’ lists have the last word." in said


def test_without_script_the_reach_of_other_budgets_is_a_page_of_its_own(site: TestClient) -> None:
    first = site.get(f"{PAGE}/better?budget=1000").text
    assert 'class="fig frontier"' not in first
    assert "&amp;whole=1" in first
    told = words(whole(site, f"{PAGE}/better?budget=1000&whole=1"))
    assert 'class="fig frontier"' in told
    assert "995 dl, index 112, measured" in told
    assert "out of 20 budgets that were looked at" in told
    assert 'class="fig frontier"' in site.get(f"{PAGE}/better?budget=1000").text, "from then on at once"


@pytest.mark.parametrize("ending", ["svg", "png"])
def test_both_can_be_had_as_cards(site: TestClient, ending: str) -> None:
    for page in ("better?budget=1000&whole=1", "paths?whole=1"):
        (place,) = re.findall(rf'href="([^"]*card\.{ending}[^"]*medium=tall)"', whole(site, f"{PAGE}/{page}"))
        card = site.get(place.replace("&amp;", "&"))
        assert card.status_code == 200
        assert card.headers["content-type"].startswith("image/")


def test_what_every_bound_costs_is_told_once_it_is_found(site: TestClient) -> None:
    said = words(whole(site, f"{PAGE}/better?budget=980&whole=1"))
    assert "“Does the supply bear it?” Were that not asked, about" in said
    assert "Nothing would be gained by more memory slots, slots of the board," in said
    assert "40 dl more would bring" in words(site.get(f"{PAGE}/better?budget=980").text)


class Slowly:
    """Lets every step of a search wait until it is let go on."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, after: int) -> None:
        self.go, steps, real = threading.Event(), count(), Work._watch

        def watch(work: Work, done: int, total: int, doing: str) -> None:
            real(work, done, total, doing)
            if next(steps) >= after:
                self.go.wait(10)

        monkeypatch.setattr(Work, "_watch", watch)


@pytest.mark.parametrize(
    ("page", "after", "found"),
    [
        ("better?budget=1000", 30, 'class="fig frontier"'),
        ("paths?audience=club", 2, "Not all of it: paths of Wren and Plover with two changes are missing."),
    ],
)
def test_a_search_shows_how_far_it_is_and_what_it_found_stays_when_it_is_stopped(
    site: TestClient, monkeypatch: pytest.MonkeyPatch, page: str, after: int, found: str
) -> None:
    slowly = Slowly(monkeypatch, after)
    during = words(site.get(f"{PAGE}/{page}&whole=1").text)
    assert 'hx-trigger="every 500ms"' in during
    assert '<meta http-equiv="refresh" content="2">' in during
    assert "<progress max=" in during
    assert "Looking at" in during
    assert found in during
    (stop,) = re.findall(r'action="([^"]*/stop[^"]*)"', during)
    threading.Timer(0.3, slowly.go.set).start()
    stopped = words(site.post(stop.replace("&amp;", "&")).text)
    assert "Stopped. What was found by then stands here." in stopped
    assert "every 500ms" not in stopped
    assert found in stopped
    assert stopped == words(site.get(f"{PAGE}/{page}&whole=1").text), "it is not begun again by looking"
    (again,) = re.findall(r'action="([^"]*/again[^"]*)"', stopped)
    site.post(again.replace("&amp;", "&"))
    ended = words(whole(site, f"{PAGE}/{page}"))
    assert "Stopped" not in ended
    assert "card.png" in ended


def test_a_search_is_stopped_and_begun_again_of_a_study_that_is_put_away_too(site: TestClient) -> None:
    site.post(f"/studies/{STUDY}/put-away", data={"note": ""})
    for page in ("better?budget=1000", "paths?audience=club"):
        whole(site, f"{PAGE}/{page}&whole=1")
        for what in ("stop", "again"):
            place, _, query = page.partition("?")
            assert site.post(f"{PAGE}/{place}/{what}?{query}").status_code == 200


def test_a_search_that_was_begun_before_a_change_is_begun_anew(site: TestClient, market: Desk) -> None:
    assert "Ostrey 70" in whole(site, f"{PAGE}/better?budget=1000&whole=1")
    gone = Offer(part="ostrey-70", item_minor=420, currency=DRELL, on=DAY + timedelta(days=1), in_stock=False)
    offers.add_offers(market, [gone], at=NOW)
    assert "whole=1" in site.get(f"{PAGE}/better?budget=1000").text
    assert "index 140" not in words(whole(site, f"{PAGE}/better?budget=1000&whole=1"))


def test_power_that_is_assumed_otherwise_is_told_on_both(site: TestClient, market: Desk) -> None:
    assert "Assumed of power otherwise here" not in site.get(f"{PAGE}/better?budget=1000").text
    change_terms(market, {"rest.board": "35"}, now=NOW)
    for page in ("better?budget=1000&whole=1", "paths?whole=1"):
        assert "Assumed of power otherwise here:" in words(whole(site, f"{PAGE}/{page}")), page


def test_machines_that_are_as_good_are_told_by_the_margin_of_the_study(
    site: TestClient, market: Desk
) -> None:
    study = shelves.one(market, Study, STUDY)
    shelves.save(market, replace(study, margin=0.4), now=NOW)
    said = words(site.get(f"{PAGE}/better?build=wren&budget=1000").text)
    assert (
        "As good: less than 40 % below the best, the smallest difference that matters in this study" in said
    )


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("build=nobody", "No compared build with parts is called 'nobody'"),
        ("audience=nobody", "No audience is called 'nobody'"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(site: TestClient, query: str, said: str) -> None:
    answer = site.get(f"{PAGE}/better?{query}")
    assert answer.status_code in {404, 422}
    assert said in words(answer.text).replace("&#39;", "'")


def test_kinds_of_which_nothing_is_said_are_named(stocked: Desk) -> None:
    lay_market(
        stocked, performance={key: each for key, each in GOOD.items() if not key.startswith("brellow")}
    )
    with client_of(stocked) as site:
        said = words(site.get(f"{PAGE}/better?budget=1000").text)
    assert "Nobody said how good any processor is: of those the cheapest that fits is taken." in said


def test_a_budget_that_cannot_be_read_is_told_at_its_field(site: TestClient) -> None:
    answer = site.get(f"{PAGE}/better?budget=lots")
    said = words(answer.text).replace("&#39;", "'")
    assert answer.status_code == 422
    assert "'lots' is no amount: write it in digits, as in 998." in said
    assert 'value="lots"' in said
    assert "Find the best" in said


def test_an_impossible_budget_says_what_the_cheapest_costs(site: TestClient) -> None:
    said = words(site.get(f"{PAGE}/better?budget=300").text)
    assert "No machine that goes together costs 300 dl or less: the cheapest costs 795 dl." in said


def test_paths_are_stories_with_what_they_stand_on(site: TestClient) -> None:
    said = words(whole(site, f"{PAGE}/paths?whole=1"))
    assert '<h1 class="answer">Plover comes furthest: hold it for' in said
    assert "Over 36 months, with nothing at once and 20 dl more each month for changes." in said
    assert "erase what you sell" in said


def test_paths_come_after_the_page_and_are_there_at_once_from_then_on(site: TestClient) -> None:
    first = site.get(f"{PAGE}/paths").text
    assert "Every path of every build is being gone through." in first
    assert 'hx-trigger="load"' in first
    (later,) = re.findall(r'hx-get="([^"]*whole=1)"', first)
    whole(site, later.replace("&amp;", "&"))
    assert "comes furthest" in site.get(f"{PAGE}/paths").text


def test_a_part_that_nobody_offers_is_named(stocked: Desk) -> None:
    lay_market(stocked, minor={key: each for key, each in MINOR.items() if key != "ostrey-50"})
    with client_of(stocked) as site:
        said = words(whole(site, f"{PAGE}/paths?whole=1"))
    assert "No path begins with Wren: Ostrey 50 has no price, or nobody said how good it is." in said


def test_a_study_that_counts_in_nothing_says_what_to_do(stocked: Desk) -> None:
    with client_of(stocked) as site:
        for page in ("better", "paths"):
            answer = site.get(f"{PAGE}/{page}")
            assert answer.status_code == 422
            assert "give a first price" in answer.text


@pytest.mark.parametrize("path", ["better?budget=1000", "paths"])
def test_they_have_no_barriers_and_fit_a_phone(market: Desk, phone: Page, path: str) -> None:
    with serving(market) as served:
        phone.goto(f"{served.url}{PAGE}/{path}")
        expect(phone.locator("main svg.fig")).to_be_visible()
        sound(phone)
