"""Offers, exchange rates and prices over time for programs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from evenhand.desk.on_record import load_study
from evenhand.desk.parts.offer_sheets import Read
from evenhand.desk.parts.price_days import PartDays, build_prices, part_days, price_now
from evenhand.folders.worth_written import currency_table
from evenhand.money.price_days import PriceDays, standing, usual
from evenhand.publish.money_words import amount
from evenhand.publish.price_words import standing_words, usual_words
from evenhand.records.amounts import plain_amount
from evenhand.records.builds import Build, Part
from evenhand.records.offers import Offer
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.store import offers as offer_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

Answer = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class OffersTold:
    """The offers of a study's parts, what each part cost by day, and what its builds did."""

    study: str
    currency: Currency | None
    offers: tuple[Offer, ...]
    parts: Mapping[str, PartDays]
    names: Mapping[str, str]
    builds: Mapping[str, tuple[str, PriceDays]]


def offers_told(wb: Workbench, study: str, *, part: str = "") -> OffersTold:
    """What is on record of a study's parts, or of one part alone. Raises NotFound."""
    record = load_study(wb, study)
    keys = tuple(dict.fromkeys(key for build in record.builds.values() for key in build.parts))
    if part:
        keys = (shelves.one(wb, Part, part).key,)
    money = record.study.currency
    builds: dict[str, tuple[str, PriceDays]] = {}
    if money is not None and not part:
        builds = _days_of_builds(wb, tuple(record.builds.values()), money)
    return OffersTold(
        study=study,
        currency=money,
        offers=offer_store.offers_of(wb, keys),
        parts=part_days(wb, keys, money) if money else {},
        names={each.key: each.name for each in shelves.every(wb, Part)},
        builds=builds,
    )


def _days_of_builds(
    wb: Workbench, builds: Sequence[Build], money: Currency
) -> dict[str, tuple[str, PriceDays]]:
    found = build_prices(wb, builds, money)
    named = {build.key: build.name for build in builds}
    return {key: (named[key], each.days) for key, each in found.items() if price_now(key, each, money)}


def offer_answer(offer: Offer) -> Answer:
    """One offer."""
    names = ("item", "shipping", "tax", "coupon", "total")
    return {
        "id": offer.id,
        "part": offer.part,
        **{name: plain_amount(getattr(offer, f"{name}_minor"), offer.currency) for name in names},
        "total_minor": offer.total_minor,
        "currency": currency_table(offer.currency),
        "on": offer.on.isoformat(),
        "seller": offer.seller.value,
        "in_stock": offer.in_stock,
        "note": offer.note,
    }


def offers_answer(told: OffersTold, table: Answer | None = None) -> Answer:
    """``offers --json``."""
    money = told.currency
    return {
        "study": told.study,
        "currency": None if money is None else currency_table(money),
        "offers": [offer_answer(offer) for offer in told.offers],
        "parts": {
            key: {
                **_past(each.days, money),
                "without_rate": [offer.id for offer in each.rateless],
                "to_come": [offer.id for offer in each.early],
                "used_beside_new": [offer.id for offer in each.used],
            }
            for key, each in told.parts.items()
            if money is not None
        },
        "builds": {key: _past(days, money) for key, (_, days) in told.builds.items() if money is not None},
        "table": table,
    }


def _past(days: PriceDays, money: Currency) -> Answer:
    """A price over time: by day, what is usual, and how the last one stands."""
    last = max(days, default=None)
    if last is None:
        return {"days": {}, "usual": None, "standing": None, "words": ""}
    typical, stands = usual(days, on=last), standing(days[last], days, on=last)
    return {
        "days": {day.isoformat(): minor for day, minor in days.items()},
        "usual": None if typical is None else {"minor": typical.minor, "days": typical.days},
        "standing": {
            "stand": stands.stand.value, "days": stands.days, "lower": stands.lower, "least": stands.least,
            "most": stands.most,
        },
        "words": past_words(days, money),
    }  # fmt: skip


def past_words(days: PriceDays, money: Currency) -> str:
    """The last price, how it stands, and what is usual, as sentences; "" without any day."""
    last = max(days, default=None)
    if last is None:
        return ""
    said = f"{amount(days[last], money)} on {last.isoformat()}."
    stands = standing_words(standing(days[last], days, on=last), money)
    return f"{said} {stands} {usual_words(usual(days, on=last), money)}"


def rate_answer(rate: Rate) -> Answer:
    """One exchange rate."""
    return {
        "id": rate.id,
        "of": currency_table(rate.of),
        "into": currency_table(rate.into),
        "rate": f"{rate.rate:f}",
        "on": rate.on.isoformat(),
        "note": rate.note,
    }


def table_answer(found: Read, columns: Mapping[int, str], *, kept: int) -> Answer:
    """A table that was brought: what its columns were said to be, and what came of its rows."""
    return {
        "name": found.sheet.name,
        "columns": [
            {"header": header, "is": columns.get(at, "") or None}
            for at, header in enumerate(found.sheet.header)
        ],
        "decimal": found.mark or None,
        "day_order": None if found.order is None else found.order.value,
        "problems": list(found.problems),
        "rows": len(found.sheet.rows),
        "new": len(found.new),
        "kept": kept,
        "on_record_before": found.again,
        "said_twice": found.twice,
        "refused": [{"line": each.row.line, "why": each.reason} for each in found.refused],
        "asked": [{"line": each.row.line, "why": each.asks} for each in found.asked],
    }
