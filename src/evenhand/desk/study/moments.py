"""Moments in words: lists tell them by one clock, whichever clock each rig stamped them with."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime

from evenhand.publish.dates import MONTHS, day_words
from evenhand.publish.numbers import MINUS, NO_BREAK

Clock = Callable[[datetime], datetime]
"""Turns a moment with an offset into the same moment by one clock, with that clock's offset at the time."""


def as_stamped(at: datetime) -> datetime:
    """The moment by the clock that stamped it: where there is one clock only."""
    return at


def moment_words(at: datetime) -> str:
    r"""A moment as its own clock shows it, to the minute.

    >>> moment_words(datetime(2031, 11, 2, 15, 31))
    '2\xa0Nov 15:31'
    """
    return f"{at.day}{NO_BREAK}{MONTHS[at.month - 1][:3]} {at:%H:%M}"


def day_of(at: datetime) -> str:
    """The day of a moment by its own clock.

    >>> day_of(datetime(2031, 11, 2, 15, 31))
    '2 November 2031'
    """
    return day_words(at)


def begun_words(stamped: datetime, clock: Clock) -> str:
    r"""A start by one clock, and as it was stamped where that clock had another offset.

    >>> begun_words(datetime.fromisoformat("2031-11-02T23:31+00:00"), as_stamped)
    '2\xa0Nov 23:31'
    """
    shown = clock(stamped)
    if shown.utcoffset() == stamped.utcoffset():
        return moment_words(shown)
    there = f"{stamped:%H:%M}" if shown.date() == stamped.date() else moment_words(stamped)
    return f"{moment_words(shown)} (stamped {there} {offset_words(stamped)})"


def clock_words(moments: Iterable[datetime], clock: Clock) -> str:
    """By which clock these moments are told; "" where there are none.

    >>> clock_words([datetime.fromisoformat("2031-11-02T23:31+01:00")], as_stamped)
    'Times are by this computer’s clock, UTC+01:00.'
    """
    offsets = dict.fromkeys(offset_words(clock(at)) for at in sorted(moments))
    return f"Times are by this computer’s clock, {' and '.join(offsets)}." if offsets else ""


def offset_words(at: datetime) -> str:
    """The offset of a moment's clock.

    >>> offset_words(datetime.fromisoformat("2031-11-02T23:31-03:30"))
    'UTC−03:30'
    >>> offset_words(datetime.fromisoformat("2031-11-02T23:31Z"))
    'UTC'
    """
    own = at.isoformat(timespec="minutes")[-len("+01:00") :]
    return f"UTC{own.replace('-', MINUS)}" if at.utcoffset() else "UTC"
