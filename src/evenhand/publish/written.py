"""Finished words with numbers and days as a country writes them; names and addresses stay as they are.

Words stay English. What is rewritten is what this program prints: thousands by comma, decimals by point, days
as 4 May 2031.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from enum import StrEnum

from evenhand.publish.dates import MONTHS, day_words

_NUMBER = re.compile(
    r"(?<![\w.,/#:])(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+)(?!\w|[.,]\d)"
)  # whole numbers without grouping are written alike everywhere
_DAY = re.compile(rf"(?<!\w)(\d{{1,2}}) ({'|'.join(MONTHS)}) (\d{{4}})(?!\w)")
_ADDRESS = r"https?://\S+"
THIN = "\N{NARROW NO-BREAK SPACE}"


class Numbers(StrEnum):
    """How numbers are written."""

    POINT = "point"  # 1,012.5
    COMMA = "comma"  # 1.012,5
    SPACED = "spaced"  # 1 012,5: decimals by comma, thousands apart (ISO 80000-1 takes either mark)


class Days(StrEnum):
    """How days are written."""

    WORDS = "words"  # 4 May 2031
    MONTH_FIRST = "month-first"  # May 4, 2031
    ISO = "iso"  # 2031-05-04 (ISO 8601)


SIGNS = {Numbers.POINT: (",", "."), Numbers.COMMA: (".", ","), Numbers.SPACED: (THIN, ",")}


def written(text: str, numbers: Numbers, days: Days, *, keep: Iterable[str] = ()) -> str:
    r"""A finished text as it is written somewhere. `keep` are names and words of people, which stay.

    >>> written("1,012.5 dl on 4 May 2031, the Slate 1.5", Numbers.COMMA, Days.ISO, keep=["Slate 1.5"])
    '1.012,5 dl on 2031-05-04, the Slate 1.5'
    """
    own = sorted({each for each in keep if any(map(str.isdigit, each))}, key=len, reverse=True)
    kept = re.compile("|".join([_ADDRESS, *(rf"(?<!\w){re.escape(each)}(?!\w)" for each in own)]))
    made, begin = [], 0
    for found in kept.finditer(text):
        made += [_rewritten(text[begin : found.start()], numbers, days), found[0]]
        begin = found.end()
    return "".join([*made, _rewritten(text[begin:], numbers, days)])


def _rewritten(text: str, numbers: Numbers, days: Days) -> str:
    marks = str.maketrans(dict(zip(",.", SIGNS[numbers], strict=True)))
    told = _NUMBER.sub(lambda found: found[0].translate(marks), text)
    return _DAY.sub(lambda found: day_written(_day(found), days), told)


def _day(found: re.Match[str]) -> date:
    return date(int(found[3]), MONTHS.index(found[2]) + 1, int(found[1]))


def day_written(day: date, days: Days) -> str:
    """A day as it is written somewhere.

    >>> [day_written(date(2031, 5, 4), each) for each in Days]
    ['4 May 2031', 'May 4, 2031', '2031-05-04']
    """
    if days is Days.ISO:
        return day.isoformat()
    return day_words(day) if days is Days.WORDS else f"{MONTHS[day.month - 1]} {day.day}, {day.year}"
