"""Better parts under a budget in words: the choices, what more would buy, and why there is none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from evenhand.fit.rules import rules
from evenhand.money.blame import Blame
from evenhand.money.looked import KEPT_DAYS
from evenhand.publish.dates import day_words
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital, counted, listed, number, with_unit
from evenhand.records.prices import Currency

POWER = "power"
ESTIMATED = (
    "This adds up what is said of each part by itself. "
    "Build it, and measure it, before anybody spends money on it."
)


def choice_words(
    index: float, minor: int, new: Iterable[str], *, build: str, names: Mapping[str, str], currency: Currency
) -> str:
    """One machine: "Osk 9 and Garth 750 in Wren, 1,012 dl in all: about 8 % above Wren's own index"."""
    parts = tuple(names[key] for key in new)
    how = f"{listed(parts)} in {build}" if parts else f"{build} as it is"
    return f"{how}, {amount(minor, currency)} in all: {beside_words(index, build)}"


def beside_words(index: float, build: str) -> str:
    r"""How an estimated index stands to a build's own.

    >>> beside_words(13.34, "Wren")
    'about 1,234\xa0% above Wren’s own index'
    >>> beside_words(1.084, "Wren"), beside_words(1.0004, "Wren")
    ('about 8\xa0% above Wren’s own index', 'about Wren’s own index')
    """
    share = round(100 * abs(index - 1.0))
    if not share:
        return f"about {build}’s own index"
    return f"about {with_unit(number(share), '%')} {'above' if index > 1 else 'below'} {build}’s own index"


def blame_words(found: Blame, *, budget: str, currency: Currency) -> str:
    """Why there is no machine: the first that bars it by itself."""
    if found.empty:
        return f"No machine is found: no {listed(found.empty, 'and no')} has a price and fits."
    if found.least_minor is not None:
        return (
            f"No machine that goes together costs {budget} or less: "
            f"the cheapest costs {amount(found.least_minor, currency)}."
        )
    if found.rules:
        asks = [rule.asks for rule in rules() if rule.key in found.rules]
        asks += ["Does the supply bear it?"] * (POWER in found.rules)
        said = " ".join(f"“{each}”" for each in asks)
        return f"No machine goes together. Any of these bars every one by itself: {said}"
    if found.limits:
        return "No machine goes together: no supply brings the power that the rest asks for."
    if found.unsure:
        return "No machine is known to go together: too many facts of the parts are not known."
    return "No machine goes together within this budget."


def alike_words(kinds: Sequence[str]) -> str:
    """That of some kinds the cheapest that fits is taken, since nothing is said of them."""
    return (
        f"Nobody said how good any {listed(tuple(kinds), 'or')} is: of those the cheapest that fits is taken."
        if kinds
        else ""
    )


def left_out_words(
    unpriced: Sequence[str],
    unsaid: Sequence[str],
    *,
    names: Mapping[str, str],
    currency: Currency,
    roles: Sequence[str],
    out: Mapping[str, date] | None = None,
    old: Mapping[str, date] | None = None,
) -> tuple[str, ...]:
    r"""What could not be chosen, and why: `out` has since when, `old` of which day the last price is.

    >>> left_out_words(
    ...     (), (), names={"a": "Lantern 60"}, currency=Currency(symbol="dl"), roles=(),
    ...     out={"a": date(2031, 5, 4)},
    ... )
    ('Out of stock when it was looked up last: Lantern 60 (since 4 May 2031).',)
    """
    said = []
    if unpriced:
        parts, many = listed(tuple(names[key] for key in unpriced)), counted(len(unpriced), "part")
        said.append(f"no offer in {currency.symbol} is on record of {many}: {parts}.")
    if out:
        parts = listed(tuple(f"{names[key]} (since {day_words(on)})" for key, on in out.items()))
        said.append(
            f"out of stock when {'it was' if len(out) == 1 else 'they were'} looked up last: {parts}."
        )
    if old:
        parts = listed(tuple(f"{names[key]} (last on {day_words(on)})" for key, on in old.items()))
        said.append(f"priced more than {KEPT_DAYS} days before the last look at any part: {parts}.")
    if unsaid:
        parts, many = listed(tuple(names[key] for key in unsaid)), counted(len(unsaid), "part")
        good = f"{'is' if len(unsaid) == 1 else 'are'} at {listed(tuple(roles))}"
        said.append(f"nobody said how good {many} {good}: {parts}.")
    return tuple(map(capital, said))


def unrated_words(parts: Sequence[str], *, build: str, roles: Sequence[str]) -> str:
    """That nothing can be held against a build of whose own parts less is said than of others."""
    return (
        f"Nobody said how good {listed(tuple(parts))} of {build} is at {listed(tuple(roles))}, "
        "as of others of its kind: say it, so that there is something to be better than."
    )


OUT_OF_TIME = (
    "The time ran out before any machine was found: there may be one. "
    "Ask for a larger budget, or take parts that nobody would buy off the offers."
)


def kept_words(parts: Sequence[str]) -> str:
    """That parts which stay in the machine have no price and are in no sum; "" where all have."""
    which = listed(tuple(parts))
    return f"Not in these sums: {which}, of which no price is known." if which else ""


def gap_words(gap: float) -> str:
    """That the search ended before it was proven, and by how much a better one might still be."""
    return f"The time ran out: another machine might still be {with_unit(number(100 * gap, 1), '%')} better."
