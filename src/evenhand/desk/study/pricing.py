"""What the setups of a study cost today: the most recent price of their builds, or the sum of their parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.parts.price_days import price_now, study_prices
from evenhand.money.paid import Paid
from evenhand.records.builds import Build
from evenhand.records.prices import Price
from evenhand.records.studies import Study
from evenhand.store import prices as price_store
from evenhand.store.workbench import Workbench


def paid_now(wb: Workbench, record: StudyOnRecord) -> Paid:
    """The price that counts of each compared setup's build, as `price_now` has it."""
    study = record.study
    of = tuple((setup, record.builds[record.setups[setup].build]) for setup in study.setups)
    return wb.lately(("paid now", study.key, study.currency, of), lambda: _paid(wb, record))


def _paid(wb: Workbench, record: StudyOnRecord) -> Paid:
    builds = {setup: record.setups[setup].build for setup in record.study.setups}
    currency = record.study.currency
    latest, other = counting(wb, record.study, record.builds.values())
    early = last_to_come(wb, builds.values())
    return Paid(
        currency=currency,
        by_setup={setup: latest[build] for setup, build in builds.items() if build in latest},
        unpriced=tuple(setup for setup, build in builds.items() if build not in latest),
        elsewhere={setup: other[build] for setup, build in builds.items() if build in other},
        to_come={setup: early[build] for setup, build in builds.items() if build in early},
    )


def last_to_come(wb: Workbench, builds: Iterable[str]) -> Mapping[str, Price]:
    """By build the last of its prices of a day that is still to come; those do not count yet."""
    every = price_store.prices_of(wb, dict.fromkeys(builds))
    early = price_store.before_their_day(wb, [price.id for price in every])
    return {price.build: price for price in every if price.id in early}


def counting(
    wb: Workbench, study: Study, builds: Iterable[Build]
) -> tuple[Mapping[str, Price], Mapping[str, Price]]:
    """By build the price that counts; of those without one the last in a currency that has no rate."""
    builds, currency = tuple(builds), study.currency
    if currency is None:
        every = price_store.prices_of(wb, [build.key for build in builds])
        return {}, {price.build: price for price in every}
    found = study_prices(wb, study, builds)
    prices = {key: price_now(key, each, currency) for key, each in found.items()}
    latest = {key: price for key, price in prices.items() if price is not None}
    other = {key: each.elsewhere[-1] for key, each in found.items() if key not in latest and each.elsewhere}
    return latest, other
