"""How the slots of claims are told: names as readers know them, digits that follow the interval."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from evenhand.publish.dates import days_words
from evenhand.publish.money_words import amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, listed, number, with_unit
from evenhand.publish.spans import Span, percent, percent_span
from evenhand.records.prices import Currency
from evenhand.verdicts.claims import As, Voice


def claim_voice(
    names: Names,
    *,
    audiences: Mapping[str, str] | None = None,
    currency: Currency | None = None,
) -> Voice:
    r"""The voice in which `verdicts.claims.Said` is told to readers.

    `audiences` names audiences by key. Money without a currency is told in minor units.

    >>> from evenhand.publish.names import SetupName
    >>> voice = claim_voice(Names(setups={"p": SetupName(name="Plover", slot=2)}, tests={}))
    >>> voice[As.SETUP](("p",)), voice[As.RANGE]((0.731, 1.441))
    ('Plover', '−27 to +44\xa0%')
    """
    people = audiences or {}
    return {
        As.SETUP: lambda keys: listed(tuple(map(names.setup, keys))),
        As.TEST: lambda keys: listed(tuple(map(names.test, keys))),
        As.GROUP: lambda keys: listed(tuple(map(names.group, keys))),
        As.PART: listed,
        As.AUDIENCE: lambda keys: listed(tuple(people.get(key, key) for key in keys)),
        As.WORD: listed,
        As.COUNT: lambda values: counted(int(values[0]), values[1]),
        As.SHARE: lambda values: with_unit(f"{100 * values[0]:.4g}", "%"),
        As.LEAD: lead_words,
        As.RANGE: range_words,
        As.MONEY: lambda minor: number(minor[0]) if currency is None else amount(minor[0], currency),
        As.DAY: days_words,
        As.DECIBELS: lambda values: _measured(values, "dB"),
        As.KELVINS: lambda values: _measured(values, "K"),
    }


def lead_words(values: tuple[Any, ...]) -> str:
    r"""A lead with its interval, without a sign where the interval allows.

    >>> lead_words((0.853, 0.838, 0.868)), lead_words((1.01, 0.99, 1.03))
    ('14.7\xa0% (13.2 to 16.2)', '+1.0\xa0% (−1.0 to +3.0)')
    """
    span = percent_span(*values)
    if span.low is not None and span.high is not None and span.low < 0 < span.high:
        return span.words("%", signed=True)
    return span.magnitude.words("%")


def range_words(ends: tuple[Any, ...]) -> str:
    """Two ends as signed per cent, digits after their distance."""
    low, high = map(percent, ends)
    return with_unit(Span(value=(low + high) / 2, low=low, high=high).range(signed=True), "%")


def _measured(values: tuple[Any, ...], unit: str) -> str:
    value, low, high = (*values, None, None)[:3]
    return Span(value=value, low=low, high=high, alone=2).words(unit)
