"""Better parts and upgrade paths in the browser: the answer, its picture, what lacks, and honest refusals."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.desk.money.small_market import GOOD, MINOR, STUDY, lay_market
from tests.desk.small_folder import small_folder
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import sound

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import Desk
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.studies import Study
from evenhand.store import shelves

PAGE = f"/studies/{STUDY}/money"


@pytest.fixture
def stocked(empty: Desk, tmp_path: Path) -> Desk:
    """The small study, of which no part has a price."""
    import_folder(empty, small_folder().write(tmp_path / "study"), now=NOW)
    return empty


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
    whole = words(site.get(f"{PAGE}/better?budget=1000&whole=1").text)
    assert 'class="fig frontier"' in whole
    assert "995 dl, index 112, measured" in whole


@pytest.mark.parametrize("ending", ["svg", "png"])
def test_both_can_be_had_as_cards(site: TestClient, ending: str) -> None:
    for page in ("better?budget=1000&whole=1", "paths?whole=1"):
        (place,) = re.findall(
            rf'href="([^"]*card\.{ending}[^"]*medium=tall)"', site.get(f"{PAGE}/{page}").text
        )
        card = site.get(place.replace("&amp;", "&"))
        assert card.status_code == 200
        assert card.headers["content-type"].startswith("image/")


def test_what_a_rule_costs_is_told_when_it_is_asked(site: TestClient) -> None:
    said = words(site.get(f"{PAGE}/better?budget=980&rules=1").text)
    rule = "“Does the supply bear it?” Were that not asked, about"
    assert rule in said
    assert rule not in words(site.get(f"{PAGE}/better?budget=980").text)


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
    said = words(site.get(f"{PAGE}/paths?whole=1").text)
    assert '<h1 class="answer">Plover comes furthest: hold it for' in said
    assert "Over 36 months, with nothing at once and 20 dl more each month for changes." in said
    assert "erase what you sell" in said


def test_paths_come_after_the_page_and_are_there_at_once_from_then_on(site: TestClient) -> None:
    first = site.get(f"{PAGE}/paths").text
    assert "Every path of every build is being gone through." in first
    assert 'hx-trigger="load"' in first
    (whole,) = re.findall(r'hx-get="([^"]*whole=1)"', first)
    site.get(whole.replace("&amp;", "&"))
    assert "comes furthest" in site.get(f"{PAGE}/paths").text


def test_a_part_that_nobody_offers_is_named(stocked: Desk) -> None:
    lay_market(stocked, minor={key: each for key, each in MINOR.items() if key != "ostrey-50"})
    with client_of(stocked) as site:
        said = words(site.get(f"{PAGE}/paths?whole=1").text)
    assert "No path begins with Wren: Ostrey 50 has no price, or nobody said how good it is." in said


def test_a_study_that_counts_in_nothing_says_what_to_do(stocked: Desk) -> None:
    with client_of(stocked) as site:
        for page in ("better", "paths"):
            answer = site.get(f"{PAGE}/{page}")
            assert answer.status_code == 422
            assert "give a first price" in answer.text


@pytest.mark.parametrize("path", ["better?budget=1000&rules=1", "paths"])
def test_they_have_no_barriers_and_fit_a_phone(market: Desk, phone: Page, path: str) -> None:
    with serving(market) as served:
        phone.goto(f"{served.url}{PAGE}/{path}")
        expect(phone.locator("main svg.fig")).to_be_visible()
        sound(phone)
