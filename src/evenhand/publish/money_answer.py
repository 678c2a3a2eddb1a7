"""The first sentence on money: who is better value for whom, and at which price that turns."""

from __future__ import annotations

from evenhand.money.break_even import BreakEven, Value
from evenhand.publish.among_words import value_among_words
from evenhand.publish.direction import isolated
from evenhand.publish.money_words import even_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital
from evenhand.publish.value_words import keeps_words, turns_words
from evenhand.records.prices import Currency
from evenhand.verdicts.among import Among
from evenhand.verdicts.verdict import Verdict


def value_clause(verdict: Verdict, among: Among | None, names: Names) -> str:
    """Who is better value, of two or of all, as a clause; "" where nothing is said of value."""
    if among is not None:
        return value_among_words(among, names)
    a, b = names.setup(verdict.a), names.setup(verdict.b)
    if verdict.value is Value.UNKNOWN:
        return ""
    if verdict.value is Value.LEVEL:
        return f"{a} and {b} are {even_words(value_open=verdict.value_open)}"
    first, other = (a, b) if verdict.value is Value.A else (b, a)
    return f"{first} is better value than {other}"


def first_by_value(verdict: Verdict, among: Among | None) -> str | None:
    """Who is better value than every other; None where nobody is."""
    if among is not None:
        return None if among.value is None else among.value.first
    return {Value.A: verdict.a, Value.B: verdict.b}.get(verdict.value)


def money_answer(audience: str, clause: str, turn: str, further: str) -> str:
    """All of it: for whom, who, until which price, and what further costs make of it."""
    said = f"{isolated(audience)}: {clause} at today’s prices."
    return " ".join(filter(None, (said, turn, f"{capital(further)}." if further else "")))


def turn_of(
    first: str | None, pair: tuple[str, str], even: BreakEven, names: Names, currency: Currency
) -> str:
    """At which price it turns: of whoever is first beside its nearest rival, or of two told apart by nothing.

    `even` is of the price of the first of the `pair`.
    """
    a, b = (names.setup(each) for each in pair)
    return keeps_words(b, even, currency) if first == pair[0] else turns_words(a, b, even, currency)
