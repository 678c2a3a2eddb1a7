"""Finished words with numbers and days as a country writes them; names and addresses stay as they are.

Words stay English. What is rewritten is what this program prints: thousands by comma, decimals by point, days
as 4 May 2031.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import date

from evenhand.publish.dates import MONTHS, day_words
from evenhand.records.publications import Days, Form, Numbers

_NUMBER = re.compile(
    r"(?<![\w.,/#:])(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+)(?!\w|[.,]\d)"
)  # whole numbers without grouping are written alike everywhere
_DAY = re.compile(rf"(?<!\w)(\d{{1,2}}) ({'|'.join(MONTHS)}) (\d{{4}})(?!\w)")
_DAYS = re.compile(
    rf"(?<![\w.,/])((?:\d{{1,2}}, )*\d{{1,2}} and )(\d{{1,2}})( (?:{'|'.join(MONTHS)}) \d{{4}})(?!\w)"
)  # several of one month, which they share
_ADDRESS = r"https?://\S+"
THIN = "\N{NARROW NO-BREAK SPACE}"


SIGNS = {Numbers.POINT: (",", "."), Numbers.COMMA: (".", ","), Numbers.SPACED: (THIN, ",")}


Write = Callable[[str], str]


def writing(form: Form, *, keep: Iterable[str] = ()) -> Write:
    r"""How a finished text is written in this form. `keep` are names and words of people, which stay.

    >>> write = writing(Form(numbers=Numbers.COMMA, days=Days.ISO), keep=["Slate 1.5"])
    >>> write("1,012.5 dl on 4 May 2031, the Slate 1.5")
    '1.012,5 dl on 2031-05-04, the Slate 1.5'
    """
    if form.is_own:
        return str
    own = sorted({each for each in keep if any(map(str.isdigit, each))}, key=len, reverse=True)
    kept = re.compile("|".join([_ADDRESS, *(rf"(?<!\w){re.escape(each)}(?!\w)" for each in own)]))
    marks = str.maketrans(dict(zip(",.", SIGNS[form.numbers], strict=True)))

    def rewritten(text: str) -> str:
        told = _NUMBER.sub(lambda found: found[0].translate(marks), text)
        if form.days is not Days.WORDS:
            told = _DAYS.sub(_each_with_its_month, told)
        return _DAY.sub(lambda found: day_written(_day(found), form.days), told)

    def write(text: str) -> str:
        made, begin = [], 0
        for found in kept.finditer(text):
            made += [rewritten(text[begin : found.start()]), found[0]]
            begin = found.end()
        return "".join([*made, rewritten(text[begin:])])

    return write


def _each_with_its_month(found: re.Match[str]) -> str:
    first = re.sub(r"\d+", lambda day: day[0] + found[3], found[1])
    return first + found[2] + found[3]


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
