"""How long something takes, in words."""

from __future__ import annotations

from evenhand.publish.numbers import count_word, number, with_unit


def clock_words(minutes: float) -> str:
    r"""Hours and minutes; seconds where it is less than a minute.

    >>> clock_words(460), clock_words(40.2), clock_words(120), clock_words(0.4)
    ('7\xa0h 40\xa0min', '40\xa0min', '2\xa0h', '24\xa0s')
    """
    if 0 < minutes < 1:
        return with_unit(number(max(1, round(60 * minutes))), "s")
    hours, rest = divmod(max(0, round(minutes)), 60)
    told = [with_unit(number(hours), "h")] if hours else []
    told += [with_unit(number(rest), "min")] if rest or not hours else []
    return " ".join(told)


def about_long(minutes: float) -> str:
    r"""About how long something takes; hours from two on.

    >>> about_long(0.2), about_long(40.2), about_long(145), about_long(240)
    ('less than a minute', 'about 40\xa0min', 'about 2\xa0h 25\xa0min', 'about 4\xa0h')
    """
    whole = round(minutes)
    if not whole:
        return "less than a minute"
    return f"about {clock_words(whole) if whole >= 120 else with_unit(number(whole), 'min')}"


def run_time_words(minutes: float) -> str:
    r"""How long one run takes: in seconds below two minutes, where those are not whole minutes.

    >>> run_time_words(40 / 60), run_time_words(12), run_time_words(1), run_time_words(2.5)
    ('40\xa0s', '12\xa0min', '1\xa0min', '2.5\xa0min')
    """
    if minutes < 2 and not float(minutes).is_integer():
        return with_unit(number(round(60 * minutes)), "s")
    return with_unit(f"{minutes:.3g}", "min")


def over_days(days: int) -> str:
    """Over how many bench days, or "" for one.

    >>> over_days(2), over_days(1)
    (' over two days', '')
    """
    return f" over {count_word(days)} days" if days > 1 else ""
