"""What parts and builds cost day by day in one currency: offers, changed by the rates of their day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from evenhand.desk.on_record import StudyOnRecord
from evenhand.money.exchange import exchanged, rate_for
from evenhand.money.looked import Looked
from evenhand.money.price_days import PriceDays, by_day
from evenhand.money.sums import SumOfParts, counting_sellers, sums
from evenhand.publish.money_words import amount
from evenhand.publish.offer_words import rate_words, sum_note
from evenhand.records.builds import Build
from evenhand.records.offers import Offer
from evenhand.records.prices import Currency, Price
from evenhand.records.rates import Rate
from evenhand.records.studies import Study
from evenhand.store import offers as offer_store
from evenhand.store import prices as price_store
from evenhand.store import rates as rate_store
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class PartDays:
    """What a part cost on each day, and how that came about.

    `offers` are all that stand, the earliest first. `by_rate` are those in other currencies with the rate
    they were changed by. Nowhere count the `rateless`, in currencies without a rate of their day or before
    it, `early` ones, of a day that is still to come, and `used` beside new.
    """

    part: str
    looked: Looked = field(default_factory=Looked)
    offers: tuple[Offer, ...] = ()
    by_rate: tuple[tuple[Offer, Rate], ...] = ()
    rateless: tuple[Offer, ...] = ()
    early: tuple[Offer, ...] = ()
    used: tuple[Offer, ...] = ()

    @property
    def days(self) -> PriceDays:
        """Minor units by day, the earliest first; a day on which nobody looked has none."""
        return self.looked.days


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildPrices:
    """What a build cost: its own prices by day, the last of each, and the sums of its parts.

    `elsewhere` are its own prices in currencies without a rate, and `early` ones of a day that is still to
    come: neither count. On days of `out` one of its parts was in stock nowhere,
    and it has no price of its own.
    """

    own: Mapping[date, Price] = field(default_factory=dict)
    sums: Mapping[date, SumOfParts] = field(default_factory=dict)
    elsewhere: tuple[Price, ...] = ()
    early: tuple[Price, ...] = ()
    out: frozenset[date] = frozenset()

    @property
    def days(self) -> PriceDays:
        """Minor units by day: the build's own price, else the sum."""
        both = {day: each.minor for day, each in self.sums.items()}
        both |= {day: each.minor for day, each in self.own.items()}
        return dict(sorted(both.items()))


def part_days(wb: Workbench, parts: Iterable[str], currency: Currency) -> Mapping[str, PartDays]:
    """What each of these parts cost by day, in this currency; a part without offers has no days."""
    keys = tuple(dict.fromkeys(parts))
    with wb.reading():
        every, rates = offer_store.offers_of(wb, keys), rate_store.rates(wb)
        early = offer_store.early_offers(wb, (offer.id for offer in every))
    own: dict[str, list[Offer]] = {key: [] for key in keys}
    for offer in every:
        own[offer.part].append(offer)
    return {key: days_of(key, offers, currency, rates=rates, early=early) for key, offers in own.items()}


def days_of(
    part: str, offers: Sequence[Offer], currency: Currency, *, rates: Sequence[Rate], early: frozenset[int]
) -> PartDays:
    """The days of one part, out of its offers."""
    seen = [offer for offer in offers if offer.id not in early]
    sellers = counting_sellers(seen)
    counting, by_rate, rateless = [], [], []
    for offer in (each for each in seen if each.seller in sellers):
        if offer.currency == currency:
            counting.append(offer)
            continue
        rate = rate_for(rates, offer.currency, currency, on=offer.on)
        if rate is None:
            rateless.append(offer)
        else:
            by_rate.append((offer, rate))
            counting.append(in_currency(offer, rate, currency))
    days = by_day(counting, currency=currency)
    return PartDays(
        part=part,
        looked=Looked(
            days=days,
            out=frozenset(offer.on for offer in counting if offer.on not in days),
            rates=_rates_of_days(days, counting, by_rate, currency),
        ),
        offers=tuple(offers),
        by_rate=tuple(by_rate),
        rateless=tuple(rateless),
        early=tuple(offer for offer in offers if offer.id in early),
        used=tuple(offer for offer in seen if offer.seller not in sellers),
    )


def _rates_of_days(
    days: PriceDays, counting: Sequence[Offer], by_rate: Sequence[tuple[Offer, Rate]], currency: Currency
) -> Mapping[date, Rate]:
    """The days on which no offer in the currency itself was as cheap as one that was changed."""
    foreign = {offer.id for offer, _ in by_rate}
    own = {(offer.on, offer.total_minor) for offer in counting if offer.id not in foreign and offer.in_stock}
    return {
        offer.on: rate
        for offer, rate in by_rate
        if offer.in_stock
        and exchanged(offer.total_minor, rate, into=currency) == days[offer.on]
        and (offer.on, days[offer.on]) not in own
    }


def in_currency(offer: Offer, rate: Rate, currency: Currency) -> Offer:
    """An offer in another currency: its total is changed as a whole, so that it is rounded once."""
    minor = exchanged(offer.total_minor, rate, into=currency)
    return replace(
        offer, item_minor=minor, shipping_minor=0, tax_minor=0, coupon_minor=0, currency=currency
    )  # fmt: skip


def build_prices(wb: Workbench, builds: Iterable[Build], currency: Currency) -> Mapping[str, BuildPrices]:
    """What each of these builds cost by day, by its key."""
    builds = tuple(builds)
    parts = part_days(wb, (part for build in builds for part in build.parts), currency)
    prices, rates = price_store.prices_of(wb, [build.key for build in builds]), rate_store.rates(wb)
    early = price_store.before_their_day(wb, [price.id for price in prices])
    return {
        build.key: _of_build(
            [price for price in prices if price.build == build.key],
            [parts[part].looked for part in build.parts],
            currency,
            rates,
            early,
        )
        for build in builds
    }


def study_prices(wb: Workbench, study: Study, builds: Iterable[Build]) -> Mapping[str, BuildPrices]:
    """What the builds of a study cost by day, by their keys; read anew only after a change.

    A study that says no currency has none.
    """
    own = tuple(builds)
    if study.currency is None:
        return {}
    money = study.currency
    return wb.lately(("study prices", study.key, money, own), lambda: build_prices(wb, own, money))


def _of_build(
    prices: Sequence[Price],
    parts: Sequence[Looked],
    currency: Currency,
    rates: Sequence[Rate],
    early: frozenset[int],
) -> BuildPrices:
    own, elsewhere = {}, []
    for price in (each for each in prices if each.id not in early):
        found = price_in(price, currency, rates)
        if found is None:
            elsewhere.append(price)
        else:
            own[found.on] = found  # the last of a day
    out = frozenset(day for part in parts for day in part.out) - own.keys()
    return BuildPrices(
        own=own,
        sums=sums(parts) if parts else {},
        elsewhere=tuple(elsewhere),
        out=out,
        early=tuple(price for price in prices if price.id in early),
    )


def price_in(price: Price, currency: Currency, rates: Sequence[Rate]) -> Price | None:
    """A build's own price in this currency, by the rate of its day or before it; None where there is none."""
    if price.currency == currency:
        return price
    rate = rate_for(rates, price.currency, currency, on=price.on)
    if rate is None:
        return None
    was = f"{amount(price.minor, price.currency)} where {rate_words(rate)}"
    note = f"{price.note}; {was}" if price.note else was
    return replace(price, minor=exchanged(price.minor, rate, into=currency), currency=currency, note=note)


def price_now(build: str, found: BuildPrices, currency: Currency) -> Price | None:
    """The price of a build that counts: of the most recent day, its own before the sum of that day.

    A sum has the number 0, and says so in its note.
    """
    own, summed = max(found.own, default=None), max(found.sums, default=None)
    if own is not None and (summed is None or own >= summed):
        return found.own[own]
    if summed is None:
        return None
    told = found.sums[summed]
    return Price(
        build=build, minor=told.minor, currency=currency, on=summed, note=sum_note(told, summed)
    )  # fmt: skip


def build_looks(wb: Workbench, record: StudyOnRecord) -> Mapping[str, Looked]:
    """What each compared setup's build cost, by setup and day, in minor units of the study's currency.

    A day's price is the build's own price of that day; else the sum of its parts, where one of them was
    looked up on that day and each has a price by then that is at most 14 days old. Other days have none:
    ask `money.looked.price_on` for what stands on them. A study that says no currency has no days.
    """
    if record.study.currency is None:
        return {setup: Looked() for setup in record.study.setups}
    found = study_prices(wb, record.study, record.builds.values())
    return {
        setup: Looked(days=each.days, out=each.out)
        for setup in record.study.setups
        for each in (found[record.setups[setup].build],)
    }
