"""How long something takes, in words."""

from __future__ import annotations

from evenhand.publish.numbers import count_word, number, with_unit


def clock_words(minutes: float) -> str:
    r"""Hours and minutes.

    >>> clock_words(460), clock_words(40.2), clock_words(120)
    ('7\xa0h 40\xa0min', '40\xa0min', '2\xa0h')
    """
    hours, rest = divmod(max(0, round(minutes)), 60)
    told = [with_unit(number(hours), "h")] if hours else []
    told += [with_unit(number(rest), "min")] if rest or not hours else []
    return " ".join(told)


def over_days(days: int) -> str:
    """Over how many bench days, or "" for one.

    >>> over_days(2), over_days(1)
    (' over two days', '')
    """
    return f" over {count_word(days)} days" if days > 1 else ""
