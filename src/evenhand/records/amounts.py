"""Amounts of money as people write them, into whole minor units and back."""

from __future__ import annotations

import re
from decimal import Decimal

from evenhand.errors import BadRecord
from evenhand.records.prices import Currency

NARROW, NO_BREAK = "\u202f", "\u00a0"
# A million million minor units: far above any machine, and exact in every format it travels in.
MOST_MINOR = 10**12
_GROUPED = re.compile(r"([1-9][0-9]{0,2}(?:[.,'’ ][0-9]{3})+)(?:[.,]([0-9]+))?")
MOST_FINER = 6  # decimals of a price for one unit beyond those of its currency
_UNGROUPED = re.compile(r"([0-9]+)(?:[.,]([0-9]+))?")


def minor_of(text: str, currency: Currency) -> int:
    """The minor units that a written amount means, with or without the currency's symbol.

    A mark before three digits groups thousands, unless it is the only one and the currency has as many
    decimals; any other is the decimal mark. Raises BadRecord for anything else, for more decimals than the
    currency has, and for 0.

    >>> euroish, whole = Currency(symbol="cr", decimals=2), Currency(symbol="dl", decimals=0)
    >>> minor_of("1,012", whole), minor_of("1.012,50 cr", euroish), minor_of("998.5", euroish)
    (1012, 101250, 99850)
    """
    bare = re.sub(r"[\s\u00a0\u202f]+", " ", text.replace(currency.symbol, " ")).strip()
    ways = (_UNGROUPED, _GROUPED) if currency.decimals >= 3 else (_GROUPED, _UNGROUPED)
    found = next((match for way in ways if (match := way.fullmatch(bare))), None)
    if found is None:
        raise _unread(text, "write it in digits, as in 998")
    whole, part = found[1], found[2] or ""
    if len(part) > currency.decimals:
        has = f"{currency.decimals} decimals" if currency.decimals else "no decimals"
        raise _unread(text, f"{currency.symbol} has {has}; write it without the rest")
    minor = int(re.sub(r"\D", "", whole) + part.ljust(currency.decimals, "0"))
    if not 1 <= minor <= MOST_MINOR:
        raise _unread(text, "give an amount above 0" if minor < 1 else "that is more than can be kept")
    return minor


def _unread(text: str, todo: str) -> BadRecord:
    return BadRecord(f"'{text.strip()}' is no amount", where="a price", todo=todo)


def plain_amount(minor: int, currency: Currency) -> str:
    """An amount without grouping or symbol, as it stands in files and fields.

    >>> plain_amount(101250, Currency(symbol="cr")), plain_amount(998, Currency(symbol="dl", decimals=0))
    ('1012.50', '998')
    """
    if not currency.decimals:
        return str(minor)
    digits = str(abs(minor)).rjust(currency.decimals + 1, "0")
    sign = "-" if minor < 0 else ""
    return f"{sign}{digits[: -currency.decimals]}.{digits[-currency.decimals :]}"


def fine_minor_of(text: str, currency: Currency) -> str:
    """The minor units that a price for one kilowatt-hour or the like means, as a decimal text.

    It may be finer than the currency's smallest unit. A single mark is the decimal one. Raises BadRecord for
    anything else and for amounts below 0.

    >>> cr = Currency(symbol="cr", decimals=2)
    >>> fine_minor_of("0,3150 cr", cr), fine_minor_of("0.28", Currency(symbol="dl", decimals=0))
    ('31.5', '0.28')
    """
    bare = re.sub(r"[\s\u00a0\u202f]+", " ", text.replace(currency.symbol, " ")).strip()
    found = _UNGROUPED.fullmatch(bare)
    if found is None:
        raise _unread(text, "write it in digits, as in 0.30")
    if len(found[2] or "") > currency.decimals + MOST_FINER:
        raise _unread(text, f"write it with {currency.decimals + MOST_FINER} decimals or fewer")
    minor = Decimal(f"{found[1]}.{found[2] or '0'}").scaleb(currency.decimals)
    if minor > MOST_MINOR:
        raise _unread(text, "that is more than can be kept")
    return plain_decimal(minor)


def plain_decimal(number: Decimal) -> str:
    """A number with a point and without zeros at its end.

    >>> plain_decimal(Decimal("31.50")), plain_decimal(Decimal("3E+1"))
    ('31.5', '30')
    """
    said = f"{number:f}"
    return said.rstrip("0").rstrip(".") if "." in said else said


def plain_fine(minor: str, currency: Currency) -> str:
    """Such a price without its currency, as it stands in files and fields.

    >>> plain_fine("31.5", Currency(symbol="cr", decimals=2)), plain_fine("30", Currency(symbol="cr"))
    ('0.315', '0.3')
    """
    return plain_decimal(Decimal(minor).scaleb(-currency.decimals))
