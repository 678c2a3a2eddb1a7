"""Amounts of money in words, and what two prices mean beside a break-even."""

from __future__ import annotations

import math

from evenhand.money.break_even import BreakEven, Value
from evenhand.publish.names import Names
from evenhand.publish.numbers import number, with_unit
from evenhand.records.prices import Currency
from evenhand.verdicts.claim_words import BY_VALUE
from evenhand.verdicts.verdict import Verdict


def amount(minor: float, currency: Currency) -> str:
    r"""An amount with its currency, rounded to the smallest unit.

    >>> amount(101250, Currency(symbol="cr")), amount(1026.34, Currency(symbol="dl", decimals=0))
    ('1,012.50\xa0cr', '1,026\xa0dl')
    """
    return with_unit(bare_amount(minor, currency), currency.symbol)


def bare_amount(minor: float, currency: Currency) -> str:
    """An amount without its currency."""
    return number(minor / 10**currency.decimals, currency.decimals)


def inside(even: BreakEven) -> tuple[int, int] | None:
    """The whole prices at which neither is the better value, from and to; None where none is known."""
    if even.low is None or even.high is None:
        return None
    low, high = math.ceil(even.low), math.floor(even.high)
    return (low, high) if low <= high else None


def band_ends(even: BreakEven) -> tuple[float, float] | None:
    """The ends of a band as they are told: prices that can be paid and at which neither is the better value.

    Where no whole price lies within, the ends as they are; None where none is known.

    >>> band_ends(BreakEven(at=1026.4, low=1018.6, high=1033.89))
    (1019, 1033)
    """
    if even.low is None or even.high is None:
        return None
    return inside(even) or (even.low, even.high)


def worth_words(verdict: Verdict, names: Names, currency: Currency) -> str:
    """What a is worth beside b at b's price: "Plover is worth 1,026 dl (1,019 to 1,033) where …"."""
    even, prices = verdict.break_even, verdict.prices
    if even is None or prices is None:
        return ""
    a, b = names.setup(verdict.a), names.setup(verdict.b)
    band = ""
    if (ends := band_ends(even)) is not None:
        low, high = (bare_amount(end, currency) for end in ends)
        band = f" ({low} to {high})"
    return f"{a} is worth {amount(even.at, currency)}{band} where {b} costs {amount(prices[1], currency)}."


def no_worth_words(verdict: Verdict | None) -> str:
    """Why nothing is said of value though both prices are on record, as a sentence."""
    if verdict is None:
        return "What this audience weighs has no number yet, so nothing is said of value."
    if verdict.is_blind:
        return "Too much of the weight has no number, so nothing is said of value."
    return "What the difference is worth has no interval, so nothing is said of value."


def even_words(*, value_open: bool) -> str:
    """Two of which neither is the better value: shown to be level, or `value_open`.

    >>> even_words(value_open=False), even_words(value_open=True)
    ('level by value', 'not told apart by value')
    """
    return BY_VALUE[value_open]


def even_word(*, value_open: bool) -> str:
    """The same where value is what is spoken of.

    >>> even_word(value_open=False), even_word(value_open=True)
    ('level', 'not told apart')
    """
    return even_words(value_open=value_open).removesuffix(" by value")


def value_words(verdict: Verdict, names: Names, currency: Currency) -> str:
    """Who is the better value at today's prices, in a few words; "" where prices or intervals lack."""
    if verdict.prices is None or verdict.value is Value.UNKNOWN:
        return ""
    if verdict.value is Value.LEVEL:
        return f"either, {even_words(value_open=verdict.value_open)}"
    side = 0 if verdict.value is Value.A else 1
    name = names.setup((verdict.a, verdict.b)[side])
    return f"{name}, by value at {amount(verdict.prices[side], currency)}"


def most_words(alone: str, besides: str, until: str, more: str) -> str:
    r"""Who gives most for the money by itself, and who with `more` besides; `until` where it turns.

    >>> most_words("Wren", "Wren", "", "250\xa0dl")
    'Wren gives most for the money, with or without 250\xa0dl of further costs'
    >>> most_words("Wren", "Plover", "95\xa0dl", "250\xa0dl")
    'Wren gives most for the money, Plover once further costs with either reach 95\xa0dl'
    """
    if alone == besides:
        return f"{alone} gives most for the money, with or without {more} of further costs"
    when = f"once further costs with either reach {until}" if until else f"with {more} of further costs"
    return f"{alone} gives most for the money, {besides} {when}"
