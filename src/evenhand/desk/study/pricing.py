"""What the setups of a study cost today, by the latest price of their builds in the study's currency."""

from __future__ import annotations

from evenhand.desk.on_record import StudyOnRecord
from evenhand.money.paid import Paid
from evenhand.store import prices as price_store
from evenhand.store.workbench import Workbench


def paid_now(wb: Workbench, record: StudyOnRecord) -> Paid:
    """The latest price of each compared setup's build; of one day the last that was written down."""
    builds = {setup: record.setups[setup].build for setup in record.study.setups}
    every = price_store.prices_of(wb, set(builds.values()))
    currency = record.study.currency
    latest = {price.build: price for price in every if price.currency == currency}
    other = {price.build: price for price in every if price.build not in latest}
    early = price_store.before_their_day(wb, [price.id for price in latest.values()])
    return Paid(
        currency=currency,
        by_setup={setup: latest[build] for setup, build in builds.items() if build in latest},
        unpriced=tuple(setup for setup, build in builds.items() if build not in latest),
        elsewhere={setup: other[build] for setup, build in builds.items() if build in other},
        to_come=frozenset(s for s, build in builds.items() if build in latest and latest[build].id in early),
    )
