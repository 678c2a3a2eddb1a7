"""The money of the verdict page: where a price tips the value, and what each machine gives for a thousand."""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.money.break_even import fixed_at_which_alike, is_near_throughout
from evenhand.publish.direction import isolated
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.worth import PerMoney, Worth, per_money, price_band
from evenhand.publish.money_words import amount, even_words, inside, most_words, no_worth_words, worth_words
from evenhand.publish.numbers import capital
from evenhand.publish.picture import Picture
from evenhand.publish.verdict_words import unpriced_words
from evenhand.records.prices import Currency
from evenhand.verdicts.verdict import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A picture with the sentence over it."""

    heading: str
    about: str
    picture: Picture
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyPart:
    """The price that tips the value of a pair, and value for money of all; `lacking` says what is unknown."""

    band: Drawn | None = None
    per_money: Drawn | None = None
    lacking: str = ""


def money_part(here: ForAudience, judgement: Judgement, about: Pair) -> MoneyPart:
    """The money of the audience that is looked at."""
    currency, verdict = judgement.paid.currency, here.verdict(about.a, about.b)
    if currency is None or verdict is None or verdict.prices is None or verdict.break_even is None:
        return MoneyPart(lacking=_lacking(judgement, about, verdict))
    return MoneyPart(
        band=_band(verdict, here, about, currency), per_money=_per_money(here, judgement, about, currency)
    )


def _lacking(judgement: Judgement, about: Pair, verdict: Verdict | None) -> str:
    """Why nothing is said of value."""
    if judgement.paid.currency is None:
        return "No currency is on record, so nothing is said of value."
    if verdict is not None and verdict.bought:
        return f"Both are one build, bought once. {capital(verdict.bought)}."
    without = unpriced_words(judgement.paid, about.names, {about.a, about.b})
    return " ".join(without) or no_worth_words(verdict)


def _band(verdict: Verdict, here: ForAudience, about: Pair, currency: Currency) -> Drawn:
    assert verdict.prices is not None
    assert verdict.break_even is not None
    names, (now, other) = about.names, verdict.prices
    a, b = names.setup(about.a), names.setup(about.b)
    worth = Worth(
        a=about.a,
        b=about.b,
        now=now,
        even=verdict.break_even,
        currency=currency,
        value_open=verdict.value_open,
        band_open=not is_near_throughout(verdict.break_even, margin=here.case.study.margin),
    )
    return Drawn(
        heading=band_heading(verdict, about, currency, margin=here.case.study.margin),
        about=f"{a}’s price, for {isolated(here.audience.name)}; {b} at {amount(other, currency)}",
        picture=price_band(worth, names), words=worth_words(verdict, names, currency),
    )  # fmt: skip


def band_heading(verdict: Verdict, about: Pair, currency: Currency, *, margin: float) -> str:
    """Up to which price today's answer holds; "level" only where that is shown at every price within."""
    a, b = about.names.setup(about.a), about.names.setup(about.b)
    even, prices = verdict.break_even, verdict.prices
    whole = inside(even) if even else None
    if even is None or prices is None or whole is None:
        return f"What {a} is worth beside {b}"
    low, high = (amount(end, currency) for end in whole)
    level = is_near_throughout(even, margin=margin)
    if prices[0] < whole[0]:
        return f"{a} keeps its value below {low}"
    if prices[0] > whole[1]:
        would = (
            f"{a} would be {even_words(value_open=False)}"
            if level
            else f"Neither would be better value with {a}"
        )
        return f"{would} from {low} to {high}"
    state = capital(even_words(value_open=False)) if level else "Neither is better value"
    return f"{state} from {low} to {high}"


def _per_money(here: ForAudience, judgement: Judgement, about: Pair, currency: Currency) -> Drawn | None:
    """What every priced setup gives for a thousand; None where one has no price, or a pair no interval."""
    fixed = here.audience.fixed_minor or max((e.audience.fixed_minor for e in judgement.audiences), default=0)
    index = _indexes(here)
    prices = judgement.paid.minor
    unknown = any(each.break_even is None for each in here.verdicts)
    if len(prices) < 2 or set(index) != set(prices) or not fixed or unknown:
        return None
    thousand = 1000 * 10**currency.decimals
    rows = [
        PerMoney(
            setup=setup,
            alone=index[setup] * thousand / minor,
            with_more=index[setup] * thousand / (minor + fixed),
        )
        for setup, minor in prices.items()
    ]
    names, more = about.names, amount(fixed, currency)
    first, then = (max(rows, key=side).setup for side in (lambda r: r.alone, lambda r: r.with_more))
    # Whoever gives most in the end overtakes each other once: the last time is when it leads them all.
    alike = [
        fixed_at_which_alike(index[s], minor, index_b=index[then], minor_b=prices[then])
        for s, minor in prices.items()
    ]
    until = max((each for each in alike if each is not None and each <= fixed), default=None)
    head = most_words(names.setup(first), names.setup(then), amount(until, currency) if until else "", more)
    return Drawn(
        heading=head, about=f"Index per {amount(thousand, currency)}",
        picture=per_money(rows, names, more=f"with {more} of further costs"),
    )  # fmt: skip


def _indexes(here: ForAudience) -> dict[str, float]:
    """Each setup's index for the audience, the slowest being 1; what the pairs say of one another agrees."""
    found: dict[str, float] = {}
    for verdict in here.verdicts:
        found.setdefault(verdict.a, 0.0)
        found.setdefault(verdict.b, found[verdict.a] - math.log(verdict.ratio))
    low = min(found.values(), default=0.0)
    return {setup: math.exp(log - low) for setup, log in found.items()}
