"""Offers of parts: only ever added to; one that is taken back stays on record and counts no more."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from evenhand.errors import BadRecord, NotFound
from evenhand.records.offers import Offer, Seller
from evenhand.store.currencies import currency_from
from evenhand.store.rows import Row, as_text, legible
from evenhand.store.taking_back import Ledger
from evenhand.store.workbench import Workbench

OFFERS = Ledger(table="offers", back="offers_taken_back", noun="offer")


def add_offers(wb: Workbench, offers: Iterable[Offer], *, at: datetime) -> tuple[Offer, ...]:
    """Puts offers on record, all or none; each with its number. The very same again is the one on record.

    Raises BadRecord where a part is not on record, or what is paid in the end is below one minor unit.
    """
    wanted = tuple(offers)
    with wb.writing() as conn:
        there = {replace(o, id=0): o for o in offers_of(wb, {offer.part for offer in wanted})}
        found = []
        for offer in wanted:
            plain = replace(offer, id=0)
            if plain not in there:
                _refuse_for_nothing(offer)
                there[plain] = replace(offer, id=OFFERS.add(conn, _row(offer, at)))
            found.append(there[plain])
    return tuple(found)


def _refuse_for_nothing(offer: Offer) -> None:
    parts = (offer.item_minor, offer.shipping_minor, offer.tax_minor, offer.coupon_minor)
    if offer.total_minor < 1 or min(parts) < 0:
        raise BadRecord(
            f"the offer of {offer.part} comes to {offer.total_minor}",
            where="an offer",
            todo="give amounts of 0 or more that come to something above 0",
        )


def _row(offer: Offer, at: datetime) -> Row:
    return {
        "part": offer.part,
        "item_minor": offer.item_minor,
        "shipping_minor": offer.shipping_minor,
        "tax_minor": offer.tax_minor,
        "coupon_minor": offer.coupon_minor,
        "currency": as_text(offer.currency),
        "seller": offer.seller.value,
        "in_stock": int(offer.in_stock),
        "on": offer.on.isoformat(),
        "note": offer.note,
        "at": at.isoformat(),
    }


def take_back_offer(wb: Workbench, number: int, *, at: datetime) -> Offer:
    """An offer that was a mistake counts no more. Raises NotFound where none of this number counts."""
    return offer_from(OFFERS.take_back(wb, number, at=at, todo="see the part's offers"))


def offers_of(wb: Workbench, parts: Iterable[str], *, ever: bool = False) -> tuple[Offer, ...]:
    """Every offer of these parts that counts, the earliest day first; of one day in order of arrival.

    With `ever` those that were taken back, too.
    """
    with wb.reading() as conn:
        rows = OFFERS.rows_of(conn, "part", parts, ever=ever, order='"on", id')
    return tuple(map(offer_from, rows))


def offer_numbered(wb: Workbench, number: int) -> Offer:
    """An offer, taken back or not. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM offers WHERE id = ?", (number,)).fetchone()
    if row is None:
        raise NotFound(f"there is no offer {number}", where=str(wb.path), todo="see the part's offers")
    return offer_from(row)


def offer_stands(wb: Workbench, number: int) -> bool:
    """Whether an offer of this number counts."""
    return OFFERS.stands(wb, number)


def early_offers(wb: Workbench, numbers: Iterable[int]) -> frozenset[int]:
    """Those of these offers that were written down before their day, which is still to come."""
    return OFFERS.before_their_day(wb, numbers)


def offer_from(row: sqlite3.Row) -> Offer:
    """The offer that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"offer {row['id']}"):
        return Offer(
            id=row["id"],
            part=row["part"],
            item_minor=row["item_minor"],
            shipping_minor=row["shipping_minor"],
            tax_minor=row["tax_minor"],
            coupon_minor=row["coupon_minor"],
            currency=currency_from(row["currency"]),
            seller=Seller(row["seller"]),
            in_stock=bool(row["in_stock"]),
            on=date.fromisoformat(row["on"]),
            note=row["note"],
        )
