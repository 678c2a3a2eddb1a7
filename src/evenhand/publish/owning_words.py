"""What a machine costs over the years, in words: hours, tariffs, and amounts with their range."""

from __future__ import annotations

from decimal import Decimal

from evenhand.publish.numbers import number, with_unit
from evenhand.records.amounts import plain_fine
from evenhand.records.prices import Currency


def hours_words(span: tuple[float, float]) -> str:
    r"""Hours a year.

    >>> hours_words((900, 1500)), hours_words((1000, 1000))
    ('900 to 1,500\xa0h', '1,000\xa0h')
    """
    low, high = (number(end, 0) if end >= 10 else f"{end:.3g}" for end in span)
    return with_unit(low if low == high else f"{low} to {high}", "h")


def tariff_words(span: tuple[str, str], currency: Currency) -> str:
    r"""What a kilowatt-hour costs, in the currency, with every digit that was written.

    >>> tariff_words(("31.5", "34"), Currency(symbol="cr", decimals=2))
    '0.315 to 0.34\xa0cr'
    """
    low, high = (_decimal(plain_fine(end, currency)) for end in span)
    return with_unit(low if low == high else f"{low} to {high}", currency.symbol)


def _decimal(written: str) -> str:
    places = -int(Decimal(written).as_tuple().exponent)
    return number(float(written), max(places, 0))
