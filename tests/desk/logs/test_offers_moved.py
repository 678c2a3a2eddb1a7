"""Offers and exchange rates travel with their study, once, and what was taken back stays so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

from tests.desk.small_folder import LATER, NOW

from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.parts.price_days import build_looks
from evenhand.desk.study.briefing import change_study
from evenhand.folders.reading import read_study
from evenhand.records.offers import Offer
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.store import offers, rates
from evenhand.store.workbench import Workbench, open_workbench

DAY = date(2031, 5, 4)
CROWN, DRELL, MARK = Currency(symbol="cr"), Currency(symbol="dl", decimals=0), Currency(symbol="mk")
NEAR = Offer(part="k6", item_minor=310, currency=DRELL, on=DAY)
FAR = Offer(part="k6", item_minor=12000, currency=CROWN, on=DAY - timedelta(days=1))
TO_COME = replace(NEAR, on=DAY + timedelta(days=9))
USED_RATE = Rate(of=CROWN, into=DRELL, rate=Decimal("2.45"), on=DAY - timedelta(days=3))
OTHER_RATE = Rate(of=MARK, into=DRELL, rate=Decimal("7"), on=DAY)


def exported(wb: Workbench, folder: Path) -> Path:
    change_study(wb, "quay", {"currency": {"symbol": "dl", "decimals": 0}}, now=NOW)
    offers.add_offers(wb, (NEAR, FAR, TO_COME), at=NOW)
    for rate in (USED_RATE, OTHER_RATE):
        rates.add_rate(wb, rate, at=NOW)
    export_study(wb, "quay", folder)
    return folder


def test_a_study_takes_along_the_offers_that_count_and_the_rates_they_need(
    stocked: Workbench, tmp_path: Path
) -> None:
    folder = exported(stocked, tmp_path / "out")
    told = read_study((folder / "study.toml").read_text(encoding="utf-8"), where="study.toml")
    assert told.offers == (FAR, NEAR)
    assert told.rates == (USED_RATE,)
    with open_workbench(tmp_path / "other.evenhand") as other:
        import_folder(other, folder, now=LATER)
        assert build_looks(other, load_study(other, "quay")) == build_looks(
            stocked, load_study(stocked, "quay")
        )


def test_what_was_taken_back_does_not_come_in_again(stocked: Workbench, tmp_path: Path) -> None:
    folder = exported(stocked, tmp_path / "out")
    for offer in offers.offers_of(stocked, ["k6"]):
        offers.take_back_offer(stocked, offer.id, at=LATER)
    for rate in rates.rates(stocked):
        rates.take_back_rate(stocked, rate.id, at=LATER)
    import_folder(stocked, folder, now=LATER)
    assert offers.offers_of(stocked, ["k6"]) == ()
    assert rates.rates(stocked) == ()
