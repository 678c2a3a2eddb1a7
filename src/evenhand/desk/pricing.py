"""What the setups of a study cost today, by the latest price of their builds in the study's currency."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from evenhand.desk.on_record import StudyOnRecord
from evenhand.records.prices import Currency, Price
from evenhand.store import prices as price_store
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Paid:
    """The price of each setup that has one. `elsewhere` are builds whose prices are in other currencies."""

    currency: Currency | None
    by_setup: Mapping[str, Price] = field(default_factory=dict)
    unpriced: tuple[str, ...] = ()
    elsewhere: tuple[str, ...] = ()

    @property
    def minor(self) -> dict[str, int]:
        """Minor units by setup."""
        return {setup: price.minor for setup, price in self.by_setup.items()}

    @property
    def days(self) -> tuple[date, ...]:
        """The days on which these prices were asked, the earliest first."""
        return tuple(sorted({price.on for price in self.by_setup.values()}))


def paid_now(wb: Workbench, record: StudyOnRecord) -> Paid:
    """The latest price of each compared setup's build; of one day the last that was written down."""
    builds = {setup: record.setups[setup].build for setup in record.study.setups}
    every = price_store.prices_of(wb, set(builds.values()))
    currency = record.study.currency
    latest = {price.build: price for price in every if price.currency == currency}
    other = {price.build for price in every} - set(latest)
    return Paid(
        currency=currency,
        by_setup={setup: latest[build] for setup, build in builds.items() if build in latest},
        unpriced=tuple(setup for setup, build in builds.items() if build not in latest),
        elsewhere=tuple(dict.fromkeys(build for build in builds.values() if build in other)),
    )
