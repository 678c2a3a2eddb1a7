"""Exchange rates as the reviewer wrote them down, each with its day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

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
        return _nearest(Fraction(minor, 10**self.of.decimals) * Fraction(self.rate), self.into)

    def changed_back(self, minor: int) -> int:
        """The other way: minor units of `into` in minor units of `of`, a half rounded away from 0.

        >>> crown, drell = Currency(symbol="cr", decimals=2), Currency(symbol="dl", decimals=0)
        >>> Rate(of=crown, into=drell, rate=Decimal("2.45"), on=date(2031, 5, 4)).changed_back(978)
        39918
        """
        return _nearest(Fraction(minor, 10**self.into.decimals) / Fraction(self.rate), self.of)


def _nearest(whole: Fraction, currency: Currency) -> int:
    """Whole units of a currency as its minor units, worked out exactly and rounded once."""
    minor = abs(whole) * Fraction(10**currency.decimals)
    rounded = (2 * minor.numerator + minor.denominator) // (2 * minor.denominator)
    return rounded if whole >= 0 else -rounded
