"""Exchange rates as the reviewer wrote them down, each with its day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from evenhand.records.prices import Currency


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """One whole unit of `of` is `rate` whole units of `into`, on a day. `id` is 0 until it is on record."""

    of: Currency
    into: Currency
    rate: Decimal
    on: date
    note: str = ""
    id: int = 0

    def changed(self, minor: int) -> int:
        """An amount in minor units of `of`, in minor units of `into`, a half rounded away from 0.

        >>> crown, drell = Currency(symbol="cr", decimals=2), Currency(symbol="dl", decimals=0)
        >>> Rate(of=crown, into=drell, rate=Decimal("2.45"), on=date(2031, 5, 4)).changed(39900)
        978
        """
        whole = Decimal(minor).scaleb(-self.of.decimals) * self.rate
        return int(whole.scaleb(self.into.decimals).quantize(Decimal(1), rounding=ROUND_HALF_UP))
