"""What parts were offered for and what builds cost over time, as the builds page shows it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.parts.offering import unowned_of
from evenhand.desk.parts.price_days import BuildPrices, PartDays, part_days, price_now, study_prices
from evenhand.desk.parts.rating import rate_numbered, rate_stands
from evenhand.money.price_days import HISTORY_DAYS, PriceDays, Standing, Usual, standing, usual
from evenhand.publish.dates import day_words
from evenhand.publish.figures.price_history import History, price_history
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital
from evenhand.publish.offer_words import (
    early_words,
    offer_words,
    rate_words,
    rateless_words,
    rates_used_words,
    used_words,
)
from evenhand.publish.palette import slot
from evenhand.publish.picture import Picture
from evenhand.publish.price_words import standing_words, usual_words
from evenhand.records.builds import Part
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.store import offers as offer_store
from evenhand.store import rates as rate_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

MOST_ROWS = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One offer or rate as a line, by its number."""

    number: int
    words: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow:
    """A day of the history: its price, and where that is from."""

    on: str
    price: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """A price over time: what is usual, how the last one stands, the picture, and its days as rows."""

    sentences: tuple[str, ...]
    picture: Picture | None
    rows: tuple[DayRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartPrice:
    """What a part last cost: `said` with its day and whether it is out of stock since, and the parts of that.

    `amount` is "" where no price counts.
    """

    said: str
    amount: str = ""
    day: str = ""
    out: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartPlace:
    """A part with everything it was offered for: `said` opens it, `notes` say what does not count and why."""

    key: str
    name: str
    said: str
    past: Past | None
    notes: tuple[str, ...]
    every: tuple[Line, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offers:
    """What the page shows of offers: builds by key, what each part last cost, one part opened.

    `rates` are the exchange rates, shown where there are any or amounts in other currencies ask for them.
    """

    builds: Mapping[str, Past]
    parts: Mapping[str, PartPrice]
    opened: PartPlace | None
    rates: tuple[Line, ...]
    asks_rates: str
    symbols: tuple[str, ...]

    def day_of(self, parts: Iterable[str]) -> str:
        """The day of most of the last prices of these parts; "" where none counts."""
        priced = (self.parts[key] for key in parts if key in self.parts)
        days = Counter(price.day for price in priced if price.amount)
        return max(sorted(days), key=lambda day: days[day], default="")


def offers_of(wb: Workbench, record: StudyOnRecord, *, opened: str = "") -> Offers:
    """What is on record, read anew only after a change; `opened` is the part whose offers are shown."""
    key = ("offers page", record.study.key, opened)
    return wb.lately(key, lambda: offers_now(wb, record, opened=opened))


def offers_now(wb: Workbench, record: StudyOnRecord, *, opened: str = "") -> Offers:
    """The same, as it stands."""
    money = record.study.currency
    keys = {key for build in record.builds.values() for key in build.parts} | ({opened} if opened else set())
    found = part_days(wb, keys, money) if money else {}
    named = {part.key: part for part in shelves.every(wb, Part)}
    rates = rate_store.rates(wb)
    rateless = [offer for each in found.values() for offer in each.rateless]
    place = None
    if opened in named:
        place = part_place(wb, named[opened], found.get(opened), money)
    return Offers(
        builds=pasts_of_builds(wb, record, money) if money else {},
        parts={key: price_of_part(each, money) for key, each in found.items()} if money else {},
        opened=place,
        rates=tuple(Line(number=r.id, words=rate_words(r), note=r.note) for r in reversed(rates)),
        asks_rates=rateless_words(rateless, money) if money else "",
        symbols=tuple(sorted({each.symbol for rate in rates for each in (rate.of, rate.into)})),
    )


def pasts_of_builds(wb: Workbench, record: StudyOnRecord, money: Currency) -> Mapping[str, Past]:
    """By build what it cost over time; builds without any price are left out."""
    found = study_prices(wb, record.study, record.builds.values())
    made = {}
    for key, prices in found.items():
        counts, build = price_now(key, prices, money), record.builds[key]
        if counts is not None:
            about = (build.name, money, counts.on)
            made[key] = past_of(
                prices.days, about, slot_number=build.slot, sources=_sources(prices), out=prices.out
            )
    return made


def _sources(prices: BuildPrices) -> Mapping[date, str]:
    summed = dict.fromkeys(prices.sums, "sum of its parts")
    return {**summed, **{day: each.note or "its own price" for day, each in prices.own.items()}}


def past_of(
    days: PriceDays,
    about: tuple[str, Currency, date],
    *,
    slot_number: int = 0,
    sources: Mapping[date, str] | None = None,
    out: frozenset[date] = frozenset(),
) -> Past:
    """A price over time up to the day of the last one, of whom and in which currency `about` says."""
    name, money, on = about
    typical = usual(days, on=on)
    stands = standing(days[on], days, on=on)
    history = History(
        name=name, days=days, until=on, currency=money, usual=typical, out=out,
        slot=slot(slot_number) if slot_number else None,
    )  # fmt: skip
    return Past(
        sentences=told_of_past(typical, stands, money),
        picture=price_history(history) if len(history.shown) > 1 else None,
        rows=tuple(_rows(days, on, money, sources or {})),
    )


def told_of_past(typical: Usual | None, stands: Standing, money: Currency) -> tuple[str, ...]:
    """What is usual, and whether the last price is a good one."""
    return (standing_words(stands, money), usual_words(typical, money))


def _rows(days: PriceDays, until: date, money: Currency, sources: Mapping[date, str]) -> Iterator[DayRow]:
    """The days that the picture shows, the last first."""
    first = until - timedelta(days=HISTORY_DAYS - 1)
    for day in sorted((day for day in days if first <= day <= until), reverse=True):
        yield DayRow(on=day_words(day), price=amount(days[day], money), source=sources.get(day, ""))


def price_of_part(found: PartDays, money: Currency) -> PartPrice:
    """What a part last cost, in a few words; "" where nothing is on record."""
    last = max(found.days, default=None)
    if last is None:
        return PartPrice(said="no price that counts" if found.offers else "")
    out = max(found.looked.out, default=last)
    stock = f"out of stock on {day_words(out)}" if out > last else ""
    paid, day = amount(found.days[last], money), day_words(last)
    said = f"{paid} on {day}{f', {stock}' if stock else ''}"
    return PartPrice(said=said, amount=paid, day=day, out=stock)


def part_place(wb: Workbench, part: Part, found: PartDays | None, money: Currency | None) -> PartPlace:
    """A part with its offers, the last day first."""
    every = found.offers if found is not None else offer_store.offers_of(wb, [part.key])
    past, notes = None, tuple(filter(None, (unowned_of(wb, part.key) if every else "",)))
    said = "None of its offers counts." if every else f"No offer of {part.name} is on record yet."
    if found is not None and money is not None:
        notes += notes_of(found, money)
        last = max(found.days, default=None)
        if last is not None:
            past = past_of(found.days, (part.name, money, last), out=found.looked.out)
            said = f"{capital(part.name)} last cost {price_of_part(found, money).said}."
    return PartPlace(
        key=part.key,
        name=part.name,
        said=said,
        past=past,
        notes=notes,
        every=tuple(Line(number=o.id, words=offer_words(o), note=o.note) for o in reversed(every)),
    )  # fmt: skip


def notes_of(found: PartDays, money: Currency) -> tuple[str, ...]:
    """By which rates its offers were changed, and which of them count nowhere and why."""
    told: Sequence[str] = (
        rates_used_words(rate for _, rate in found.by_rate),
        rateless_words(found.rateless, money),
        early_words(found.early),
        used_words(found.used),
    )
    return tuple(filter(None, told))


def offer_said(wb: Workbench, number: int) -> tuple[str, str, bool]:
    """An offer in words, with its part's name, and the part's key, and whether it stands. Raises NotFound."""
    offer = offer_store.offer_numbered(wb, number)
    part = shelves.one(wb, Part, offer.part)
    return f"{part.name}: {offer_words(offer)}", offer.part, offer_store.offer_stands(wb, number)


def rate_said(wb: Workbench, number: int) -> tuple[str, bool]:
    """A rate in words, and whether it stands. Raises NotFound."""
    rate: Rate = rate_numbered(wb, number)
    return rate_words(rate), rate_stands(wb, rate)
