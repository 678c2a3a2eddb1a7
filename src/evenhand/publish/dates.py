"""Days in words, whatever the language that this computer is set to."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from evenhand.publish.numbers import listed

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip


def day_words(at: date) -> str:
    """A day as people write it.

    >>> day_words(date(2031, 5, 4))
    '4 May 2031'
    """
    return f"{at.day} {MONTHS[at.month - 1]} {at.year}"


def days_words(days: Iterable[date]) -> str:
    """Days in their order, each once; those of one month share its name.

    >>> days_words([date(2031, 5, 28), date(2031, 5, 4)]), days_words([date(2031, 5, 4), date(2031, 6, 1)])
    ('4 and 28 May 2031', '4 May 2031 and 1 June 2031')
    """
    own = sorted(set(days))
    if len(own) > 1 and len({(day.year, day.month) for day in own}) == 1:
        *first, last = own
        return listed((*(str(day.day) for day in first), day_words(last)))
    return listed(tuple(map(day_words, own)))
