"""What the setups of a study cost: who has a price in its currency, and who has one in another only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from evenhand.records.prices import Currency, Price


@dataclass(frozen=True, slots=True, kw_only=True)
class Paid:
    """The price of each setup that has one in the study's currency.

    Of the `unpriced`, `elsewhere` has those with a price in another currency, and that price. `to_come` has
    of setups the last price of a day that is still to come: it counts from then on.
    """

    currency: Currency | None
    by_setup: Mapping[str, Price] = field(default_factory=dict)
    unpriced: tuple[str, ...] = ()
    elsewhere: Mapping[str, Price] = field(default_factory=dict)
    to_come: Mapping[str, Price] = field(default_factory=dict)

    @property
    def minor(self) -> dict[str, int]:
        """Minor units by setup."""
        return {setup: price.minor for setup, price in self.by_setup.items()}

    @property
    def days(self) -> tuple[date, ...]:
        """The days on which these prices were asked, the earliest first."""
        return tuple(sorted({price.on for price in self.by_setup.values()}))
