"""Days in words, whatever the language that this computer is set to."""

from __future__ import annotations

from datetime import date

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
