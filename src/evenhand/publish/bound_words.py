"""What each bound of a choice costs, in words: what a little more money, power or room would bring."""

from __future__ import annotations

from collections.abc import Mapping

from evenhand.fit.rooms import rooms
from evenhand.fit.rules import rules
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital, listed, with_unit
from evenhand.records.prices import Currency

POWER, WATTS, MONEY = "power", "watts", ""
LEAST = 1e-9  # a share: less than that is nothing


def more_words(more: Mapping[str, float], *, step: str, watts: int) -> str:
    """What a little more of each bound would bring, such as "40 dl more would bring about 3 % more"."""
    told = [(step, more.get(MONEY)), (with_unit(str(watts), "W"), more.get(WATTS))]
    words = [f"{what} more would bring {_gain(share)}" for what, share in told if share is not None]
    return f"{'; '.join(words)}." if words else ""


def room_words(more: Mapping[str, tuple[float, int]], now_minor: int, currency: Currency) -> tuple[str, ...]:
    r"""What a little more room of each sort would bring, and for how much more; last what brings nothing.

    `more` has by key a share of the index and what the machine costs in all then, which is `now_minor` today.

    >>> more = {"memory-slot": (0.031, 1012), "case-slot": (0.0, 998), "sata-port": (0.0, 998)}
    >>> for said in room_words(more, 998, Currency(symbol="dl", decimals=0)):
    ...     print(said.replace("\u00a0", " "))
    One more memory slot on the board would bring about 3 % more for 14 dl more.
    Nothing would be gained by more SATA ports or slots of the case.
    """
    sorts = [room for room in rooms() if room.key in more]
    gains = {key: each for key, each in more.items() if each[0] > LEAST}
    nothing = tuple(room.called for room in sorts if room.key not in gains)
    told = [
        f"{capital(room.said)} would bring {_gain(share)} {_for(minor - now_minor, currency)}."
        for room in sorts
        if room.key in gains
        for share, minor in (gains[room.key],)
    ]
    if nothing:
        told.append(f"Nothing would be gained by more {listed(nothing, 'or')}.")
    return tuple(told)


def _for(extra_minor: int, currency: Currency) -> str:
    if not extra_minor:
        return "for the same money"
    return f"for {amount(abs(extra_minor), currency)} {'more' if extra_minor > 0 else 'less'}"


def rule_words(key: str, share: float) -> str:
    """What a rule of fit costs."""
    asks = next((rule.asks for rule in rules() if rule.key == key), "Does the supply bear it?")
    return f"“{asks}” Were that not asked, {_gain(share)} would be within the budget."


def ties_words(margin: float) -> str:
    r"""Which machines are told as being as good as the best.

    >>> ties_words(0.03).replace("\u00a0", " ")
    'As good: less than 3 % below the best, the smallest difference that matters in this study, and cheaper.'
    """
    percent = with_unit(f"{100 * margin:.4g}", "%")
    return (
        f"As good: less than {percent} below the best, the smallest difference that matters in this study, "
        "and cheaper."
    )


def _gain(share: float) -> str:
    percent = round(100 * share)
    if percent:
        return f"about {with_unit(str(percent), '%')} more"
    return "nothing" if share < LEAST else f"less than {with_unit('1', '%')} more"
