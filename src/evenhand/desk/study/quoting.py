"""What builds cost, as a reviewer says it: prices added, taken back and put back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from evenhand.desk.parts.price_days import price_in
from evenhand.desk.study.briefing import change_study
from evenhand.desk.study.checking import Checked, Given, sound
from evenhand.desk.study.pricing import counting
from evenhand.desk.study.shelving import refuse_closed
from evenhand.desk.study.used_by import builds_of, users_of
from evenhand.desk.study.worth_checks import checked_price
from evenhand.errors import BadRecord, NotFound
from evenhand.folders.worth_written import currency_table
from evenhand.money.exchange import rate_for
from evenhand.publish.dates import day_words
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import number
from evenhand.publish.worth_words import later_price_words
from evenhand.records.amounts import minor_of
from evenhand.records.builds import Build
from evenhand.records.prices import Currency, Price
from evenhand.records.studies import Study
from evenhand.store import prices as price_store
from evenhand.store import shelves
from evenhand.store.rates import rates
from evenhand.store.workbench import Workbench

ABSURD = 20
"""So many times what a build cost last, or so small a share of it, is asked about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Every price of a study's builds that counts or did once it was asked, and which counts by build.

    `now` is the price that counts by build, in the study's currency; that of a sum of parts has no number,
    and is not among `every`. `to_come` are the numbers of those of a day that is still to come, which
    do not count yet.
    """

    currency: Currency | None
    builds: tuple[Build, ...]
    every: tuple[Price, ...]
    now: Mapping[str, Price]
    to_come: frozenset[int] = frozenset()

    @property
    def counts(self) -> Mapping[str, int]:
        """By build the number of its own price that counts; none where the sum of its parts does."""
        return {build: price.id for build, price in self.now.items() if price.id}


def prices_told(wb: Workbench, study: str) -> Prices:
    """The prices of a study's builds, those that were taken back left out. Raises NotFound."""
    record = shelves.one(wb, Study, study)
    builds = builds_of(wb, record)
    every = price_store.prices_of(wb, [build.key for build in builds])
    now, _ = counting(wb, record, builds)
    early = price_store.before_their_day(wb, [price.id for price in every])
    return Prices(currency=record.currency, builds=builds, every=every, now=now, to_come=early)


def drafted_price(wb: Workbench, study: str, given: Given, *, today: date) -> Checked[Price]:
    """A price that is to be added to a build of a study; the day is today where none is given."""
    record = shelves.one(wb, Study, study)
    builds = [build.key for build in builds_of(wb, record)]
    return checked_price(
        {**given, "on": given.get("on") or today}, currency=record.currency, builds=builds, today=today
    )


def add_study_price(
    wb: Workbench, study: str, given: Given, *, now: datetime, today: date, sure: bool = False
) -> Price:
    """A price of a build of a study. Raises BadRecord that names the field, or asks whether it is so."""
    with wb.writing():
        price = sound(drafted_price(wb, study, given, today=today))
        refuse_absurd(wb, price, sure=sure)
        refuse_closed(wb, shelves.one(wb, Build, price.build))
        return price_store.add_price(wb, price, at=now)


def add_price(
    wb: Workbench,
    build: str,
    given: Given,
    *,
    currency: Currency | None,
    now: datetime,
    today: date,
    sure: bool = False,
) -> tuple[Price, tuple[str, ...]]:
    """A price of a build, in this currency or else its studies' own; and which studies count in it from now.

    A study that says no currency takes the one that is given. Raises BadRecord and NotFound.
    """
    with wb.writing():
        of = shelves.one(wb, Build, build)
        refuse_closed(wb, of)
        studies = users_of(wb, of)
        money = currency or _agreed(studies, build)
        table = {**given, "build": build, "on": given.get("on") or today}
        price = sound(checked_price(table, currency=money, builds=[build], today=today))
        refuse_absurd(wb, price, sure=sure)
        without = tuple(study.key for study in studies if study.currency is None) if currency else ()
        for study in without:
            change_study(wb, study, {"currency": currency_table(price.currency)}, now=now)
        return price_store.add_price(wb, price, at=now), without


def asked_about(wb: Workbench, price: Price) -> str:
    """That a price is far from the last one of its build, as a question; "" where it is not."""
    every, known = price_store.prices_of(wb, [price.build]), rates(wb)
    early = price_store.before_their_day(wb, [each.id for each in every])
    own = (each for each in every if each.on <= price.on)
    found = [price_in(each, price.currency, known) for each in own if each.id not in early]
    last = next((each for each in reversed(found) if each is not None), None)
    if last is None:
        return ""
    said, was = amount(price.minor, price.currency), amount(last.minor, last.currency)
    since = f"the {was} that this build cost on {day_words(last.on)}: is that so?"
    if price.minor > ABSURD * last.minor:
        return f"{said} is {number(price.minor / last.minor)} times {since}"
    return f"{said} is less than a twentieth of {since}" if price.minor * ABSURD < last.minor else ""


def refuse_absurd(wb: Workbench, price: Price, *, sure: bool) -> None:
    """Raises BadRecord that asks, once, where a price is far from the last one of its build."""
    if not sure and (asks := asked_about(wb, price)):
        raise BadRecord(asks, where="price", todo="correct it, or say that you are sure")


def counts_not(wb: Workbench, price: Price) -> tuple[tuple[str, str], ...]:
    """The studies of a price's build that count in another currency without a rate, each with its symbol."""
    studies, known = users_of(wb, shelves.one(wb, Build, price.build)), rates(wb)
    other = (study for study in studies if study.currency not in (None, price.currency))
    return tuple(
        (study.key, study.currency.symbol)
        for study in other
        if study.currency is not None and rate_for(known, price.currency, study.currency, on=price.on) is None
    )


def _agreed(studies: tuple[Study, ...], build: str) -> Currency:
    said = {study.currency for study in studies if study.currency is not None}
    if len(said) == 1:
        return said.pop()
    found = "its studies count in several currencies" if said else "no study of it says a currency"
    raise BadRecord(found, where=build, todo="say it: --currency dl --decimals 0")


def take_back(wb: Workbench, study: str, number: int, *, now: datetime) -> Price:
    """A price of one of a study's builds counts no more; it stays on record. Raises NotFound."""
    with wb.writing():
        price = price_numbered(wb, study, number)
        if not stands(wb, price):
            raise NotFound(
                f"price {number} was taken back before", where=study, todo="put it back, if it was no mistake"
            )
        refuse_closed(wb, shelves.one(wb, Build, price.build))
        return price_store.take_back_price(wb, number, at=now)


def put_back(wb: Workbench, study: str, number: int, *, now: datetime) -> Price:
    """The same price again, where it was taken back; it has a number of its own then."""
    with wb.writing():
        price = price_numbered(wb, study, number)
        if stands(wb, price):
            return price
        refuse_closed(wb, shelves.one(wb, Build, price.build))
        return price_store.add_price(wb, price, at=now)


def price_numbered(wb: Workbench, study: str, number: int) -> Price:
    """A price of a study's builds, taken back or not. Raises NotFound."""
    builds = [build.key for build in builds_of(wb, shelves.one(wb, Study, study))]
    for price in price_store.prices_of(wb, builds, ever=True):
        if price.id == number:
            return price
    raise NotFound(f"there is no price {number}", where=study, todo="see the builds and their prices")


def stands(wb: Workbench, price: Price) -> bool:
    """Whether a price was not taken back."""
    return any(each.id == price.id for each in price_store.prices_of(wb, [price.build]))


def read_back(written: str, currency: Currency) -> str:
    """An amount as it was read, in words; "" where it cannot be read."""
    try:
        return amount(minor_of(written, currency), currency)
    except BadRecord:
        return ""


def later_price(wb: Workbench, study: str, build: str, day: str) -> str:
    """That a price of a later day than this one goes on counting, in words; "" where none does."""
    try:
        return later_price_words(prices_told(wb, study).now.get(build), date.fromisoformat(day))
    except ValueError:
        return ""
