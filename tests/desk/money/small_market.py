"""The small study with machines of known parts, a few more parts in the catalogue, and what each costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from tests.desk.small_folder import NOW
from tests.fit.test_proof import CATALOGUE

from evenhand.records.audiences import Audience
from evenhand.records.builds import Build, Part
from evenhand.records.offers import Offer
from evenhand.records.part_facts import PERFORMANCE, PartFact
from evenhand.records.prices import Currency, Price
from evenhand.records.studies import Study
from evenhand.store import offers, part_facts, prices, shelves
from evenhand.store.workbench import Workbench

DRELL = Currency(symbol="dl", decimals=0)
DAY = date(2031, 5, 4)
STUDY = "quay"
SHARED = ("farrel-2x16", "penhale-n80", "hollin-mid", "marrick-post")
WREN = ("brellow-520", "osk-nook-q5", "ostrey-50", "garth-750", *SHARED)
PLOVER = ("brellow-540", "osk-lintel-q5", "ostrey-60", "garth-750", *SHARED)
BUILDS = {"wren": WREN, "plover": PLOVER}
MINOR = {
    "brellow-520": 120, "brellow-540": 190, "osk-nook-q5": 90, "osk-lintel-q5": 110, "ostrey-50": 250,
    "ostrey-60": 360, "ostrey-70": 420, "garth-750": 80, "garth-850": 105, "farrel-2x16": 90,
    "penhale-n80": 70, "hollin-mid": 60, "marrick-post": 35,
}  # fmt: skip
GOOD = {
    "ostrey-50": {"games": 1.0}, "ostrey-60": {"games": 1.1}, "ostrey-70": {"games": 1.4},
    "brellow-520": {"games": 1.0}, "brellow-540": {"games": 1.02},
}  # fmt: skip
PAID = {"wren": 795, "plover": 995}
CLUB = Audience(key="club", name="Club", groups={"games": 1.0})


def lay_market(
    wb: Workbench,
    *,
    minor: Mapping[str, int] = MINOR,
    performance: Mapping[str, Mapping[str, float]] = GOOD,
    paid: Mapping[str, int] = PAID,
) -> None:
    """Puts parts with their facts, offers and how good they are on record, and gives builds their parts."""
    for key in sorted({*MINOR, *minor}):
        item = CATALOGUE[key]
        shelves.save(wb, Part(key=key, kind=item.kind, name=item.name), now=NOW)
        said = {f"{PERFORMANCE}{role}": value for role, value in performance.get(key, {}).items()}
        new = {"years": 0} if item.kind == "supply" else {}  # else it would have to do as an old one
        facts: dict[str, Any] = {**item.facts, **said, **new}
        known = [PartFact(part=key, fact=f, value=v, source="its page", on=DAY) for f, v in facts.items()]
        part_facts.add_facts(wb, known, at=NOW)
    offers.add_offers(
        wb, (Offer(part=key, item_minor=each, currency=DRELL, on=DAY) for key, each in minor.items()), at=NOW
    )
    for key, parts in BUILDS.items():
        shelves.save(wb, replace(shelves.one(wb, Build, key), parts=parts), now=NOW)
        prices.add_price(wb, Price(build=key, minor=paid[key], currency=DRELL, on=DAY), at=NOW)
    study = shelves.one(wb, Study, STUDY)
    shelves.save(wb, replace(study, currency=DRELL, audiences=(CLUB,)), now=NOW)
