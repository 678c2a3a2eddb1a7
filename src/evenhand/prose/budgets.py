"""What somebody from the audience may spend, read out of a question."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum

from evenhand.prose.dated import money_pattern
from evenhand.prose.ground import Ground
from evenhand.prose.rules import Rules
from evenhand.prose.spelling import value_of

_GROUPED = re.compile(r"[1-9]\d{0,2}(?:\.\d{3})+")
_BESIDE = re.compile(r"\s?([A-Z]{3}\b|[^\w\s,.;:?!])")  # a sign or a code of a currency, after a number


class Sum(StrEnum):
    """What a budget is worth to the record."""

    OWN = "in the study's currency"
    FOREIGN = "in another currency"
    NOTHING = "not more than nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """The most that a setup is to cost, in the study's currency where `sort` is `OWN`."""

    most: float
    sort: Sum


def budget(sentence: str, ground: Ground, rules: Rules) -> Budget | None:
    """The sum that a question names, with or without its currency; None where it names none."""
    found = _written(sentence, ground, rules)
    if found is None:
        return None
    number = "n" if found["n"] else "m"
    most = value_of(_ungrouped(found[number], ground), rules)
    if most is None:
        return None
    start, end = found.span(number)
    mark = _mark(sentence, start, end, found.end())
    if mark and mark.casefold() not in _own(ground, rules):
        return Budget(most=most, sort=Sum.FOREIGN)
    return Budget(most=most, sort=Sum.OWN if most > 0 else Sum.NOTHING)


def budget_span(sentence: str, ground: Ground, rules: Rules) -> tuple[int, int]:
    """Where the sum stands, with the sign or the code beside it; nowhere, (0, 0), where there is none."""
    found = _written(sentence, ground, rules)
    if found is None:
        return 0, 0
    beside = _BESIDE.match(sentence, found.end())
    return found.start(), beside.end() if beside else found.end()


def _written(sentence: str, ground: Ground, rules: Rules) -> re.Match[str] | None:
    found = money_pattern(ground, rules).search(sentence)
    return rules["asking.budget"].search(sentence) if found is None or found["k"] else found


def _ungrouped(written: str, ground: Ground) -> str:
    """A sum without points between thousands, where they can be nothing else: money has fewer decimals."""
    decimals = 2 if ground.currency is None else ground.currency.decimals
    return written.replace(".", "") if decimals < 3 and _GROUPED.fullmatch(written.strip()) else written


def _mark(sentence: str, start: int, end: int, whole: int) -> str:
    """What stands beside a number as its currency: a sign before it, or a sign, a code or a word after it."""
    before = sentence[:start].rstrip()[-1:]
    if before and unicodedata.category(before) == "Sc":
        return before
    beside = _BESIDE.match(sentence, end)
    if beside and (beside[1].isalpha() or unicodedata.category(beside[1]) == "Sc"):
        return beside[1]
    return sentence[end:whole].strip(" -")


def _own(ground: Ground, rules: Rules) -> set[str]:
    """All that the study's own currency is called."""
    symbol = "" if ground.currency is None else ground.currency.symbol
    called = rules.plain.get("money", {}).get("called", {}).get(symbol, [])
    return {word.casefold() for word in (symbol, *ground.money_words, *called)}
