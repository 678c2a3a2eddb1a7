"""Pairs of which there are cards, as pages offer them: chips that links keep, and ticks for an edition."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.desk.swapped_folder import Made, swapped
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import sound

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import Desk
from evenhand.desk.publication.card_pairs import pairs_in
from evenhand.desk.publication.edition_cards import card_rows
from evenhand.desk.publication.publishing import editions_of

STUDY = "/studies/mole"
CARDS = f"{STUDY}/compare/cards"


@pytest.fixture
def four(empty: Desk, tmp_path: Path) -> Desk:
    """Four machines, the one in front first: of the next two there are no cards unless they are asked for."""
    keys = ("tern", "gull", "smew", "rail")
    made = [Made(key=key, logs={"quay": 4.3 - 0.1 * i}) for i, key in enumerate(keys)]
    import_folder(empty, swapped(*made).write(tmp_path / "study"), now=NOW)
    return empty


@pytest.fixture
def site(four: Desk) -> Iterator[TestClient]:
    with client_of(four) as opened:
        yield opened


def test_a_chosen_pair_has_its_cards_and_every_link_takes_it_along(site: TestClient) -> None:
    page = site.get(f"{CARDS}?pair=gull~smew&whole=1").text.replace("%7E", "~")
    assert 'href="/studies/mole/compare/cards?pair=gull~smew" aria-current="true"' in page
    card = f"{CARDS}/headline-gull-smew.svg?pair=gull~smew"
    assert f'src="{card}"' in page
    assert "headline-tern-gull" not in page
    assert site.get(card).status_code == 200
    assert site.get(f"{CARDS}/headline-gull-smew-dark.png?pair=gull~smew").content[:4] == b"\x89PNG"
    assert site.get(f"{CARDS}/headline-gull-smew.svg").status_code == 404
    media = re.findall(rf'href="({CARDS}\?medium=\w+&amp;[^"]*)"', page)
    assert media
    assert all("pair=gull~smew" in link for link in media)


def test_a_pair_that_is_none_is_told(site: TestClient) -> None:
    assert site.get(f"{CARDS}?pair=gull~wren").status_code == 404
    assert site.get(f"{CARDS}/headline-gull-smew.svg?pair=gull~wren").status_code == 404


def test_pairs_are_chosen_by_chips_on_desk_and_phone(four: Desk, page: Page, phone: Page) -> None:
    with serving(four) as served:
        for each in (page, phone):
            each.goto(f"{served.url}{CARDS}")
            chips = each.get_by_role("navigation", name="Pair")
            expect(chips.get_by_role("link")).to_have_count(6)
            chips.get_by_role("link", name="Gull and Smew").click()
            expect(each.locator("img[src*='headline-gull-smew']").first).to_be_visible()
            sound(each)


def test_an_edition_goes_out_with_the_pairs_that_are_ticked(four: Desk, page: Page) -> None:
    with serving(four) as served:
        page.goto(f"{served.url}{STUDY}/publish")
        page.get_by_text("Pairs that its cards are of").click()
        expect(page.get_by_role("checkbox", checked=True)).to_have_count(3)
        sound(page)
        for other in ("Gull", "Smew", "Rail"):
            page.get_by_role("checkbox", name=f"Tern and {other}").uncheck()
        page.get_by_role("checkbox", name="Gull and Smew").check()
        page.get_by_role("button", name="Freeze edition 1").click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("Edition 1")
    (edition,) = editions_of(four, "mole")
    assert pairs_in(card_rows(four, edition)) == (("gull", "smew"),)
