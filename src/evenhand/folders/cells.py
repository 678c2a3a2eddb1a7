"""Single cells of tables that people bring: amounts, days, yes and no, however they are written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from enum import StrEnum

from evenhand.errors import BadRecord
from evenhand.records.amounts import minor_of
from evenhand.records.prices import Currency

MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
    "november", "december",
)  # fmt: skip
YES = frozenset({"yes", "y", "true", "1", "x", "in stock", "available", "in store"})
NO = frozenset({"no", "n", "false", "0", "out of stock", "sold out", "unavailable", "not available", "none"})
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_THREE = re.compile(r"(\d{1,2})[./\- ]+(\d{1,2})[./\- ]+(\d{4}|\d{2})")
_WORDED = re.compile(
    r"(?:(\d{1,2})\.?\s+([^\W\d_]{3,})\.?|([^\W\d_]{3,})\.?\s+(\d{1,2}))(?:st|nd|rd|th)?,?\s+(\d{4})"
)
_CLOCK = re.compile(
    r"[T ,]+\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?(?:\s*(?:Z|[+-]\d{2}:?\d{2}|am|pm))?$", re.IGNORECASE
)
_AMOUNT = re.compile(
    r"[-+\u2212]?\s*(?:[^\W\d_]{1,8}\s+|[^\w\s.,]{1,3}\s*)?\d[\d.,'’\s\u00a0\u202f]*"
    r"(?:[^\W\d_]{1,8}|[^\w\s.,]{1,3})?"
)


class DayOrder(StrEnum):
    """Which comes first where a day is written in numbers."""

    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


def is_day(cell: str) -> bool:
    """Whether a cell looks like a day.

    >>> is_day("4.5.2031"), is_day("2031-05-04T10:00:00Z"), is_day("4 May 2031"), is_day("399.00")
    (True, True, True, False)
    """
    bare = _CLOCK.sub("", cell.strip())
    return any(way.fullmatch(bare) for way in (_ISO, _THREE)) or _worded(bare) is not None


def day_order(cells: Iterable[str]) -> DayOrder | None:
    """Which comes first in these cells; None where every one of them can be read either way.

    >>> day_order(["4/5/2031", "28/5/2031"]), day_order(["4/5/2031"]), day_order(["2031-05-04", "5/28/2031"])
    (<DayOrder.DAY_FIRST: 'day first'>, None, <DayOrder.MONTH_FIRST: 'month first'>)
    """
    found = [match for cell in cells if (match := _THREE.fullmatch(_CLOCK.sub("", cell.strip())))]
    if any(int(match[1]) > 12 for match in found):
        return DayOrder.DAY_FIRST
    return DayOrder.MONTH_FIRST if any(int(match[2]) > 12 for match in found) else None


def needs_order(cells: Iterable[str]) -> bool:
    """Whether days in these cells are written in numbers with the year last."""
    return any(_THREE.fullmatch(_CLOCK.sub("", cell.strip())) for cell in cells)


def day_of(cell: str, order: DayOrder | None) -> date:
    """The day that is meant; a time of day is left out. Raises BadRecord.

    >>> day_of("4/5/31", DayOrder.MONTH_FIRST), day_of("May 4, 2031", None)
    (datetime.date(2031, 4, 5), datetime.date(2031, 5, 4))
    """
    bare = _CLOCK.sub("", cell.strip())
    year = month = day = 0
    if match := _ISO.fullmatch(bare):
        year, month, day = (int(each) for each in match.groups())
    elif (match := _THREE.fullmatch(bare)) and order is not None:
        first, second = int(match[1]), int(match[2])
        day, month = (first, second) if order is DayOrder.DAY_FIRST else (second, first)
        year = int(match[3]) + (2000 if len(match[3]) == 2 else 0)
    elif worded := _worded(bare):
        year, month, day = worded
    try:
        return date(year, month, day)
    except ValueError:
        raise BadRecord(f"'{cell[:40]}' is no day", todo="write it as 2031-05-04") from None


def _worded(bare: str) -> tuple[int, int, int] | None:
    match = _WORDED.fullmatch(bare)
    name = (match[2] or match[3]).casefold() if match else ""
    months = [at for at, month in enumerate(MONTHS, start=1) if name and month.startswith(name)]
    if match is None or len(months) != 1:
        return None
    return int(match[5]), months[0], int(match[1] or match[4])


def is_amount(cell: str) -> bool:
    """Whether a cell looks like an amount: digits with marks, and perhaps a sign of up to eight letters.

    >>> is_amount("1.012,50 cr"), is_amount("dl 998"), is_amount("-5"), is_amount("K6")
    (True, True, True, False)
    """
    return _AMOUNT.fullmatch(cell.strip()) is not None and not is_day(cell)


def decimal_mark(cells: Iterable[str]) -> str:
    """The mark before decimals in these cells: "." or ","; "" where none of them says.

    >>> decimal_mark(["1.012,50", "998"]), decimal_mark(["1.012"]), decimal_mark(["12.5", "1,012"])
    (',', '', '.')
    """
    votes = [_mark_of(cell) for cell in cells]
    point, comma = votes.count("."), votes.count(",")
    return "" if point == comma == 0 else "." if point >= comma else ","


def _mark_of(cell: str) -> str:
    """The decimal mark of one cell, "" where it has none or could be read either way."""
    marks = [c for c in cell if c in ".,"]
    if not marks:
        return ""
    behind = re.sub(r"\D", "", cell[cell.rfind(marks[-1]) :])
    if len(set(marks)) == 2:
        return marks[-1]
    return marks[-1] if len(marks) == 1 and len(behind) != 3 else ""


def amount_of(cell: str, currency: Currency, mark: str) -> int:
    """The minor units that a cell means, 0 too, where decimals stand behind this mark. Raises BadRecord.

    Decimals that are all 0 may be more than the currency has.

    >>> crown, whole = Currency(symbol="cr"), Currency(symbol="dl", decimals=0)
    >>> amount_of("1.012,5 cr", crown, ","), amount_of("998.00", whole, "."), amount_of("0", crown, "")
    (101250, 998, 0)
    """
    bare = re.sub(r"[\s\u00a0\u202f]", "", cell.replace(currency.symbol, " "))
    if not mark:
        return 0 if re.fullmatch(r"0+(?:[.,]0*)?", bare) else minor_of(bare, currency)
    whole, _, part = bare.partition(mark)
    groups = re.split(r"[.,'’]", whole)
    sound = all(len(each) == 3 for each in groups[1:]) and 0 < len(groups[0]) <= (3 if groups[1:] else 15)
    digits = "".join(groups)
    if not (sound and digits.isascii() and digits.isdigit() and (not part or part.isdigit())):
        raise BadRecord(f"'{cell[:40]}' is no amount", todo="write it in digits, as in 998")
    kept = part.rstrip("0") if len(part) > currency.decimals else part
    if len(kept) > currency.decimals:
        has = f"{currency.decimals} decimals" if currency.decimals else "no decimals"
        raise BadRecord(f"'{cell[:40]}' is no amount", todo=f"{currency.symbol} has {has}")
    minor = int(digits + kept.ljust(currency.decimals, "0"))
    return minor_of(_plain(minor, currency), currency) if minor else 0


def _plain(minor: int, currency: Currency) -> str:
    digits = str(minor).rjust(currency.decimals + 1, "0")
    return f"{digits[: -currency.decimals]}.{digits[-currency.decimals :]}" if currency.decimals else digits


def is_yes_or_no(cell: str) -> bool:
    """Whether a cell says yes or no, or in stock or not."""
    return cell.strip().casefold() in YES | NO


def yes_of(cell: str) -> bool:
    """Yes or no. Raises BadRecord."""
    said = cell.strip().casefold()
    if said in YES | NO:
        return said in YES
    raise BadRecord(f"'{cell[:40]}' is neither yes nor no", todo="write yes or no")
