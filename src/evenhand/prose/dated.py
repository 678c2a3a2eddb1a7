"""Prices without their day, and amounts that are not what the record has."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from evenhand.prose.ground import Ground
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.quotable import Sort
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.references import WITH_RANGE, written
from evenhand.prose.rules import Rules
from evenhand.prose.scopes import quoted_in, reference_places
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of
from evenhand.prose.spoken import place_of
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import listed

_NUMBER = re.compile(r"\d+")
_MONTH = re.compile(r"[^\W\d_]{3,}")
_LETTERS = 3  # by which a month is known
PRICED = frozenset({"price", "value"})  # of what a claim is that rests on prices


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """Whether a day was said in the script so far, and in this paragraph."""

    anywhere: bool = False
    paragraph: int = -1

    def after(self, text: str, paragraph: int, rules: Rules) -> Days:
        """The same after one more sentence."""
        said = bool(rules["money.date"].search(text))
        here = paragraph if said or self.paragraph == paragraph else -1
        return Days(anywhere=self.anywhere or said, paragraph=here)

    def dates(self, text: str, paragraph: int, rules: Rules) -> bool:
        """Whether prices in a sentence stand beside their day."""
        if rules["money.date"].search(text) or self.paragraph == paragraph:
            return True
        return self.anywhere and bool(rules["money.that_day"].search(text))


def amounts(reading: Reading, money: re.Pattern[str], *, dated: bool) -> Iterator[Objection]:
    """Typed amounts of money and references to prices, held against the record and asked for their day."""
    text, rules = reading.sentence.text, reading.rules
    for found in money.finditer(text):
        value = value_of(found["n"] or found["m"] or found["k"], rules)
        named = (
            reading.sentence.keys(Named.SETUP) or reading.context.recent[:2] or _all_spoken(reading, value)
        )
        supposed = any(f.start() <= found.start() < f.end() for f in rules["exempt.supposed"].finditer(text))
        if value is None or not named or supposed or _is_other(reading):
            continue
        right = value in _right(reading.ground, reading.sentence.keys(Named.SETUP) or reading.ground.setups)
        if not right:
            yield _worth(reading, found.span(), value) or _contrary(reading, found.span(), named)
        elif not dated:
            yield _undated(reading, found.span())
    if not dated:
        yield from _undated_references(reading)
    else:
        yield from _misdated(reading, money)


def _all_spoken(reading: Reading, value: float | None) -> tuple[str, ...]:
    """Every setup, where a sentence speaks of both or all of them, or of an amount that the record has."""
    spoken = any(reading.rules[of].search(reading.sentence.text) for of in ("roles.both", "roles.all"))
    return reading.ground.setups if spoken or value in _right(reading.ground, reading.ground.setups) else ()


def _misdated(reading: Reading, money: re.Pattern[str]) -> Iterator[Objection]:
    """A day beside prices of setups that is none of the record's."""
    text, rules, ground = reading.sentence.text, reading.rules, reading.ground
    priced = money.search(text) or rules["topics.price"].search(text)
    days = {_plain_day(day_words(p.on)) for p in ground.prices.values()}
    found = rules["money.date"].search(text)
    if not (found and priced and days and ground.setups) or _is_other(reading):
        return
    told = _plain_day(found[0])
    if not told or any(_is_day(told, day) for day in days):
        return
    place, excerpt = place_of(found.span(), reading)
    words = listed(tuple(dict.fromkeys(day_words(p.on) for p in ground.prices.values())))
    yield Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt,
        reason=rules.words("contrary_day", day=words), would_stand=rules.words("dated", day=words),
    )  # fmt: skip


def _plain_day(written: str) -> tuple[str, ...]:
    """Day, month by its first letters, and year if one is said; nothing for a day in figures alone."""
    month = next((word for word in _MONTH.findall(written) if word not in ("of", "the")), "")
    numbers = sorted(_NUMBER.findall(written), key=len)
    return (*(str(int(n)) for n in numbers[:1]), month[:_LETTERS].casefold(), *numbers[1:]) if month else ()


def _is_day(told: tuple[str, ...], day: tuple[str, ...]) -> bool:
    """Whether a day is that day; a year that is not said is that year."""
    return told == day[: len(told)]


def money_pattern(ground: Ground, rules: Rules) -> re.Pattern[str]:
    """An amount in the study's currency, or in any that the language has a word for."""
    own = [re.escape(word) for word in ground.money_words]
    symbol = [] if ground.currency is None else [re.escape(ground.currency.symbol)]
    words = "|".join([*own, *symbol, *rules.plain["money"]["words"]])
    before = "|".join([*symbol, "€", r"\$", "£"])
    number = rules["figures.any_number"].pattern
    return re.compile(
        rf"(?P<n>{number})[\s-]*(?:{words})(?!\w)|(?<!\w)(?:{before})\s?(?P<m>{number})"
        rf"|{rules['money.asked'].pattern} (?P<k>{number})(?![\w%]| ?(?:%|\w))",
        re.IGNORECASE,
    )


def _is_other(reading: Reading) -> bool:
    """Whether the amounts of a sentence are of a budget or of another price than those on record."""
    return bool(reading.rules["money.exempt"].search(reading.sentence.text))


def _right(ground: Ground, setups: tuple[str, ...]) -> set[float]:
    """Amounts that the record has of these setups: prices, and what two differ by."""
    paid = {
        s: ground.prices[s].minor / 10 ** ground.prices[s].currency.decimals
        for s in setups if s in ground.prices
    }  # fmt: skip
    return {*paid.values(), *(abs(a - b) for a, b in combinations(paid.values(), 2))}


def _worth(reading: Reading, span: tuple[int, int], value: float) -> Objection | None:
    """A typed amount that is a break-even of the record: a result, to be told by its reference."""
    figures = reading.ground.quotables
    even = next((
        q for q in figures.figures.values()
        if q.sort is Sort.BREAK_EVEN and value in (round(q.value), round(q.low or 0), round(q.high or 0))
    ), None)  # fmt: skip
    if even is None:
        return None
    place, excerpt = place_of(span, reading)
    return Objection(
        rule=Rule.BARE_NUMBER, place=place, excerpt=excerpt, would_stand=written(even, figures),
        reason=reading.rules.words("bare_worth", figure=excerpt),
    )  # fmt: skip


def _contrary(reading: Reading, span: tuple[int, int], named: tuple[str, ...]) -> Objection:
    place, excerpt = place_of(span, reading)
    prices = [q for s in named if (q := reading.ground.quotables.figures.get(f"price of {s}"))]
    words = listed(tuple(f"{reading.ground.names.setup(q.setups[0])} {q.ranged}" for q in prices))
    return Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt,
        reason=reading.rules.words("contrary_price", words=words or "—"),
        would_stand=", ".join(written(q, reading.ground.quotables, WITH_RANGE) for q in prices),
    )  # fmt: skip


def _undated(reading: Reading, span: tuple[int, int]) -> Objection:
    place, excerpt = place_of(span, reading)
    days = listed(tuple(dict.fromkeys(day_words(p.on) for p in reading.ground.prices.values())))
    return Objection(
        rule=Rule.UNDATED, place=place, excerpt=excerpt, reason=reading.rules.said["undated"],
        would_stand=reading.rules.words("dated", day=days) if days else "",
    )  # fmt: skip


def _undated_references(reading: Reading) -> Iterator[Objection]:
    """References to prices that tell no day."""
    whole = (0, len(reading.sentence.text))
    prices = {q.address for q in quoted_in(reading.sentence, whole, reading.ground) if q.sort is Sort.PRICE}
    for reference, at in zip(reading.sentence.references, reference_places(reading.sentence), strict=False):
        known = reading.ground.quotables.full(reference.address) in prices
        if known and reference.form != WITH_RANGE:
            yield _undated(reading, (at, at + 1))


def _tells_a_day(reading: Reading) -> bool:
    """Whether the sentence has a price by a reference that tells its day."""
    whole = (0, len(reading.sentence.text))
    prices = {q.address for q in quoted_in(reading.sentence, whole, reading.ground) if q.sort is Sort.PRICE}
    full = reading.ground.quotables.full
    return any(r.form == WITH_RANGE and full(r.address) in prices for r in reading.sentence.references)


def undated_claim(claim: Claim, reading: Reading, *, dated: bool) -> Iterator[Objection]:
    """A claim that rests on prices whose day is said nowhere."""
    if claim.rule.of in PRICED and not dated and not _tells_a_day(reading):
        yield _undated(reading, claim.span)
