"""Verdicts for an audience in words: where a pair stands, how firmly, and what the money says.

Who is in front is named first, with the difference over the other.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date

from evenhand.findings.finding import Caveat, Outcome
from evenhand.findings.stamps import NO_RATIO
from evenhand.money.break_even import Value
from evenhand.money.paid import Paid
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.money_words import amount, even_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import listed, margin_words, number, with_unit
from evenhand.publish.sentences import over_bridge, perhaps
from evenhand.publish.spans import Span, percent_span
from evenhand.publish.standing import shown_by_bounds, standing
from evenhand.publish.unmeasured_words import turned_by_unknown, why_nothing
from evenhand.publish.worth_words import not_exchanged, price_words, rescaled_words
from evenhand.records.audiences import Audience, Property
from evenhand.records.prices import Currency
from evenhand.verdicts.grounds import PairGrounds
from evenhand.verdicts.verdict import Verdict
from evenhand.verdicts.wobble import Wobble

LEADS = (Outcome.AHEAD, Outcome.BEHIND)
SURE = 0.995  # of draws: beyond this no more than "in every draw" is meant


def front(verdict: Verdict) -> tuple[str, str]:
    """Both setups, the one in front first."""
    return (verdict.a, verdict.b) if verdict.ratio >= 1 else (verdict.b, verdict.a)


def front_span(verdict: Verdict) -> Span:
    """The one in front over the other in per cent, with the interval that the outcome rests on."""
    bounds = shown_by_bounds(verdict)
    low, high = (verdict.bound_low, verdict.bound_high) if bounds else (verdict.low, verdict.high)
    note = (standing(verdict) or percent_span(verdict.ratio, None, None)).note
    if verdict.ratio >= 1:
        return percent_span(verdict.ratio, low, high, note=note)
    return percent_span(1 / verdict.ratio, _over(high), _over(low), note=note)


def _over(end: float | None) -> float | None:
    return None if end is None else 1 / end


def lead_words(verdict: Verdict, names: Names) -> str:
    """Who is in front by how much: "Plover +1.4 % (90 %: 0.8 to 2.0)"."""
    return f"{names.setup(front(verdict)[0])} {front_span(verdict).words('%', signed=True)}"


def verdict_clause(verdict: Verdict, names: Names, *, margin: float) -> str:
    """How the pair stands, as a clause without a stop."""
    first, second = map(names.setup, front(verdict))
    span, bridge = front_span(verdict), over_bridge(verdict, names)
    if verdict.outcome in LEADS:
        by = span.words("%", signed=span.low is not None and span.low < 0)
        return f"{first} is ahead of {second} by {by}{perhaps(verdict, margin=margin)}{bridge}"
    a, b = names.setup(verdict.a), names.setup(verdict.b)
    if verdict.is_blind:
        unknown = with_unit(number(100 * verdict.missing), "%")
        return f"{a} and {b} are {verdict.outcome.value}: {unknown} of the weight has no number"
    within = f" within {margin_words(margin)}" if verdict.outcome is Outcome.LEVEL else ""
    lead = f"{'measurably ' if verdict.measurably else ''}{lead_words(verdict, names)}"
    return f"{a} and {b} are {verdict.outcome.value}{within}: {lead}{bridge}"


def verdict_sentence(
    verdict: Verdict, audience: Audience, names: Names, *, margin: float, currency: Currency | None
) -> str:
    """A verdict with its audience and, where prices are on record, what the money says."""
    said = f"{isolated(audience.name)}: {verdict_clause(verdict, names, margin=margin)}"
    money = verdict.bought or (better_words(verdict, names, currency) if currency else "")
    return f"{said}; {money}." if money else f"{said}."


def better_words(verdict: Verdict, names: Names, currency: Currency) -> str:
    """Whose money is better spent, both named: a study may hold a third that is better value than either."""
    if verdict.prices is None or verdict.value is Value.UNKNOWN:
        return ""
    if verdict.value is Value.LEVEL:
        return f"either, {even_words(value_open=verdict.value_open)}"
    at = 0 if verdict.value is Value.A else 1
    both = (verdict.a, verdict.b)
    price = amount(verdict.prices[at], currency)
    return f"{names.setup(both[at])} is better value than {names.setup(both[1 - at])} at {price}"


def no_verdict_words(pair: PairGrounds, audience: Audience, names: Names) -> tuple[str, ...]:
    """That nothing is said of a pair for an audience, and why: what is not read, or not to be compared."""
    a, b = names.setup(pair.a), names.setup(pair.b)
    why: dict[Caveat, list[str]] = {}
    for test, caveat in pair.unlike:
        if caveat.key in NO_RATIO:
            why.setdefault(caveat, []).append(names.test(test))
    said = tuple(f"{listed(tuple(tests))}: {c.told(names.setup, names.test)}." for c, tests in why.items())
    if not said:
        return (f"{a} and {b}: no verdict, since {why_nothing(audience)}.",)
    return (f"{a} and {b}: no verdict, since nothing that is weighed may be compared.", *said)


def chance_words(chance: Wobble | None, verdict: Verdict, names: Names) -> str:
    """How often it holds where the weights are a little other than was written down, as a sentence.

    "" where too much is unknown for any chance, or where the two are one machine. What has no number cannot
    be drawn: what it would have to be to turn the order is told in its place.
    """
    if verdict.is_blind or verdict.is_of_one_machine:
        return ""
    if verdict.missing > 0:
        return turned_by_unknown(verdict, names)
    if chance is None:
        return "How firmly this holds cannot be said: no spread is known."
    a_first = verdict.ratio >= 1
    share = chance.a_in_front if a_first else 1 - chance.a_in_front
    by_margin = chance.a_by_margin if a_first else chance.b_by_margin
    name = names.setup(front(verdict)[0])
    often = "every one" if share > SURE else number(min(100 * share, 99))
    many = "all of them" if by_margin > SURE else number(min(100 * by_margin, 99))
    more = f", by more than the margin in {many}" if by_margin >= 1 - SURE else ""
    said = f"{name} is in front in {often} of 100 draws{more}"
    if chance.alone:
        return (
            f"Only one thing is weighed, so no weight can differ; within the error of the measurement {said}."
        )
    return f"With slightly different weights, {said}."


def prices_words(paid: Paid, names: Names) -> tuple[str, ...]:
    """What every setup costs and since when that is known, as sentences."""
    if paid.currency is None:
        return ("No currency is on record, so nothing is said of value.",)
    by_day: dict[date, list[str]] = {}
    for setup, price in paid.by_setup.items():
        said = f"{names.setup(setup)} {amount(price.minor, paid.currency)}"
        by_day.setdefault(price.on, []).append(said)
    told = [f"Prices of {day_words(day)}: {listed(tuple(each))}." for day, each in sorted(by_day.items())]
    return (*told, *unpriced_words(paid, names))


def early_words(paid: Paid, names: Names, among: Collection[str] | None) -> tuple[str, ...]:
    """Which setups have a price of a day still to come, which counts from then on; of these where named."""
    return tuple(
        f"{names.setup(setup)}: {price_words(price, to_come=True)}, counts from then on."
        for setup, price in paid.to_come.items()
        if among is None or setup in among
    )


def unpriced_words(paid: Paid, names: Names, among: Collection[str] | None = None) -> tuple[str, ...]:
    """Which setups have no price, and which have one in another currency only; of these where some are named.

    Two currencies are never held against each other without a rate.
    """
    asked = [setup for setup in paid.unpriced if among is None or setup in among]
    other = {setup: paid.elsewhere[setup] for setup in asked if setup in paid.elsewhere}
    none = tuple(names.setup(setup) for setup in asked if setup not in other and setup not in paid.to_come)
    told = [f"No price is on record for {listed(none)}."] if none else []
    if other and paid.currency is not None:
        each = tuple(f"{names.setup(s)} ({price_words(price)})" for s, price in other.items())
        has = "has a price" if len(each) == 1 else "have prices"
        told.append(f"{listed(each)} {has} in another currency only: {not_exchanged(paid.currency)}")
    return (*told, *early_words(paid, names, among))


def weighing_words(audience: Audience, names: Names) -> str:
    """What counts for an audience, in shares: "games 80 %, work 20 %; speed 75 %, lows 25 %".

    Single tests that were given nothing are told, since their group counts without them.
    """
    named = {names.group(key): weight for key, weight in audience.groups.items()}
    named |= {names.test(key): weight for key, weight in audience.tests.items()}
    nothing = tuple(names.test(key) for key, weight in audience.tests.items() if not weight > 0)
    said = ", ".join(filter(None, (_shares(named), f"without {listed(nothing)}" if nothing else "")))
    properties = {p.value: weight for p, weight in audience.properties.items() if weight > 0}
    return said if set(properties) <= {Property.SPEED.value} else f"{said}; {_shares(properties)}"


def _shares(weights: Mapping[str, float]) -> str:
    total = sum(weights.values())
    if not total > 0:
        return "nothing"
    if len(set(weights.values())) == 1 and len(weights) > 2:
        return f"{listed(tuple(weights))} alike"
    shares = [
        f"{name} {with_unit(f'{100 * weight / total:.3g}', '%')}"
        for name, weight in weights.items()
        if weight > 0
    ]
    return ", ".join(filter(None, (*shares, rescaled_words(weights))))


def buy_words(verdict: Verdict, names: Names, *, margin: float, currency: Currency | None) -> str:
    """What somebody of this audience does with it, in one clause.

    Speed and value are told apart: where they agree one machine is named, where only one of them speaks it
    decides, and where they contradict each other both are said.
    """
    stands = verdict_clause(verdict, names, margin=margin)
    if verdict.bought:
        return f"{stands}; {verdict.bought}"
    if currency is None or verdict.prices is None or verdict.value is Value.UNKNOWN:
        return stands
    if verdict.value is Value.LEVEL:
        return f"{stands}, and {even_words(value_open=verdict.value_open)} at today's prices"
    return f"{stands}; {better_words(verdict, names, currency)}"
