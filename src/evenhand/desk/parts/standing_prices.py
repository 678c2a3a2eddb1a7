"""What each part of a priced build cost on the day of the build's price: by which offer, and of which day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.parts.price_days import PartDays, in_currency, part_days
from evenhand.desk.study.pricing import paid_now
from evenhand.money.looked import seen_on
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingPrice:
    """The least price of a part that stands on the day of its build's price, in the study's minor units.

    It is of the day `on`, and by a seller of this class.
    """

    setup: str
    part: str
    minor: int
    on: date
    seller: Seller


def standing_prices(wb: Workbench, record: StudyOnRecord) -> Iterator[StandingPrice]:
    """Of each setup with a price, by part; parts of which no price stands on that day have none."""
    paid = paid_now(wb, record)
    if paid.currency is None:
        return
    parts = {setup: record.builds[record.setups[setup].build].parts for setup in paid.by_setup}
    found = part_days(wb, (part for own in parts.values() for part in own), paid.currency)
    for setup, price in paid.by_setup.items():
        for part in dict.fromkeys(parts[setup]):
            days = found[part]
            seen = seen_on(days.looked, price.on)
            if seen is not None:
                yield StandingPrice(
                    setup=setup, part=part, minor=days.days[seen], on=seen,
                    seller=_least(days, seen, paid.currency).seller,
                )  # fmt: skip


def _least(found: PartDays, day: date, currency: Currency) -> Offer:
    """The first of the offers by which a part cost what it cost on a day."""
    rates = {offer.id: rate for offer, rate in found.by_rate}
    passed = {offer.id for offer in (*found.rateless, *found.early, *found.used)}
    own = [each for each in found.offers if each.on == day and each.in_stock and each.id not in passed]
    told = [(in_currency(e, rates[e.id], currency) if e.id in rates else e, e) for e in own]
    return next(offer for changed, offer in told if changed.total_minor == found.days[day])
