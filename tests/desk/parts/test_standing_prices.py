"""What each part cost on the day of its build's price, with the day and the class of seller."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

from tests.desk.parts.test_price_days import CROWN, DRELL, add, ago, bench, offer, own
from tests.desk.small_folder import NOW

from evenhand.desk.on_record import load_study
from evenhand.desk.parts.standing_prices import standing_prices
from evenhand.desk.publication.article_files import texts_of, write_article
from evenhand.desk.publication.publishing import publish
from evenhand.records.offers import Seller
from evenhand.records.rates import Rate
from evenhand.store import rates
from evenhand.store.workbench import Workbench

__all__ = ["bench"]


def told(wb: Workbench) -> dict[str, tuple[int, date, Seller]]:
    found = standing_prices(wb, load_study(wb, "quay"))
    return {each.part: (each.minor, each.on, each.seller) for each in found if each.setup == "wren"}


def test_of_several_offers_the_cheapest_in_stock_is_told_with_its_seller(bench: Workbench) -> None:
    add(
        bench, offer("k6", 300), offer("k6", 280, seller=Seller.MARKET), offer("k6", 200, in_stock=False),
        offer("k6", 100, seller=Seller.USED), offer("m1", 90, days=3),
    )  # fmt: skip
    assert told(bench) == {"k6": (280, ago(0), Seller.MARKET), "m1": (90, ago(3), Seller.SHOP)}


def test_prices_are_those_of_the_day_of_the_builds_own_price(bench: Workbench) -> None:
    add(bench, offer("k6", 300, days=5), offer("k6", 250, days=1))
    own(bench, 400, days=3)
    assert told(bench) == {"k6": (300, ago(5), Seller.SHOP)}


def test_an_offer_in_another_currency_is_told_in_the_studys(bench: Workbench) -> None:
    rates.add_rate(bench, Rate(of=CROWN, into=DRELL, rate=Decimal("2"), on=ago(9)), at=NOW)
    add(bench, offer("k6", 10000, currency=CROWN, seller=Seller.MARKET), offer("m1", 90))
    assert told(bench)["k6"] == (200, ago(0), Seller.MARKET)


def test_without_offers_nothing_is_told(bench: Workbench) -> None:
    own(bench, 400)
    assert told(bench) == {}


def test_a_part_without_a_price_says_so_beside_those_that_have_one(bench: Workbench, tmp_path: Path) -> None:
    add(bench, offer("k6", 300))
    own(bench, 400)
    publish(bench, "quay", now=NOW)
    assert "(300\u00a0dl, shop, 4 May 2031)" in texts_of(bench, "quay")[1]["description.txt"]
    page = (write_article(bench, "quay", tmp_path / "out").folder / "index.html").read_text("utf-8")
    machines = page[page.index('id="machines"') : page.index('id="said"')].replace("\u00a0", " ")
    assert "<td>300 dl, shop, 4 May 2031<" in machines
    assert "<td>no price on record<" in machines
