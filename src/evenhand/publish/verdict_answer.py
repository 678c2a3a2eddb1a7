"""The line that the verdict page opens with: for whom which machine, in two sentences."""

from __future__ import annotations

import math
from collections.abc import Sequence

from evenhand.findings.finding import Outcome
from evenhand.money.break_even import Value
from evenhand.publish.direction import isolated
from evenhand.publish.doubt_words import but_doubted
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.money_words import amount, even_words
from evenhand.publish.numbers import capital, with_unit
from evenhand.publish.sentences import over_bridge
from evenhand.publish.unmeasured_words import but_unmeasured
from evenhand.publish.verdict_words import LEADS, front, front_span
from evenhand.records.audiences import Audience
from evenhand.records.prices import Currency
from evenhand.verdicts.verdict import Verdict

Told = Sequence[tuple[Audience, Verdict | None]]
MOST = 2  # audiences that the answer speaks of: the first, and the first for which it is otherwise


def verdict_answer(told: Told, about: Pair, *, currency: Currency | None) -> str:
    """What the pair is for the first audience, and for the first one for which that is otherwise.

    Where all say the same it is said once, with every size that it has.
    """
    known = [(audience, verdict) for audience, verdict in told if verdict is not None]
    if not known:
        return "Nothing that these audiences weigh can be held against each other on these two machines."
    first = known[0][1]
    others = [each for each in known if _turn(each[1]) != _turn(first)]
    doubts = [
        *but_unmeasured(known, about.names),
        *but_doubted([c for _, each in known for c in each.caveats], about.names),
    ]
    if not others and len(known) > 1:
        said = _for_all(known, about, currency, whole=len(known) == len(told))
        return " ".join((f"{capital(said)}.", *doubts))
    # Another machine to buy is told before another shade of the same answer.
    others.sort(key=lambda each: _nearness(each[1], first))
    chosen = [known[0], *others[: MOST - 1]]
    sentences = [
        f"{isolated(audience.name)}: {_said(verdict, about, currency, named=not i)}."
        for i, (audience, verdict) in enumerate(chosen)
    ]
    return " ".join((*sentences, *doubts))


def _for_all(
    known: Sequence[tuple[Audience, Verdict]], about: Pair, currency: Currency | None, *, whole: bool
) -> str:
    """What every audience hears: one sentence where its numbers are the same, else with a size for each.

    Of more than two sizes the least and the most are told; `whole`: no audience goes without a verdict.
    """
    everyone = "both audiences" if len(known) == MOST else "every audience"
    everyone = everyone if whole else "every audience that has a verdict"
    alike = {_said(verdict, about, currency, named=True) for _, verdict in known}
    if len(alike) == 1:
        return f"{alike.pop()}, for {everyone} alike"
    first, money = known[0][1], _money(known[0][1], about, currency)
    by_size = sorted(known, key=lambda each: abs(math.log(each[1].ratio)))
    ends = known if len(known) == MOST else (by_size[0], by_size[-1])
    sizes = [f"{_size(verdict, about)} for {isolated(audience.name)}" for audience, verdict in ends]
    told_sizes = ("by {}, by {}" if len(known) == MOST else "from {} to {}").format(*sizes)
    said = f"{_order(first, about)} for {everyone}: {told_sizes}"
    return f"{said}; {money}" if money else said


def _order(verdict: Verdict, about: Pair) -> str:
    """How the two stand, without a size."""
    names = about.names
    first, second = map(names.setup, front(verdict))
    if verdict.outcome in LEADS:
        return f"{first} is ahead of {second}"
    both = f"{names.setup(about.a)} and {names.setup(about.b)} are {_state(verdict)}"
    return f"{both}, measurably {first}," if verdict.measurably else both


def _size(verdict: Verdict, about: Pair) -> str:
    by = with_unit(front_span(verdict).digits(), "%")
    small = ", perhaps too little to matter," if verdict.outcome in LEADS and verdict.perhaps_small else ""
    return f"{by}{small}{over_bridge(verdict, about.names)}"


def _turn(verdict: Verdict) -> tuple[object, ...]:
    shown = verdict.measurably
    return verdict.outcome, verdict.value, verdict.value_open, shown, shown and verdict.ratio > 1


def _nearness(verdict: Verdict, first: Verdict) -> int:
    """How little another answer differs: 0 where another machine is ahead, 1 where one is to be bought."""
    if verdict.outcome in LEADS and front(verdict) != front(first):
        return 0
    bought = {Value.A, Value.B}
    if {verdict.value, first.value} == bought or (verdict.outcome in LEADS) != (first.outcome in LEADS):
        return 1
    return 2 if _named(verdict) != _named(first) else 3


def _named(verdict: Verdict) -> tuple[object, ...]:
    """Who is ahead and who is the better value."""
    return verdict.outcome, verdict.value


def _said(verdict: Verdict, about: Pair, currency: Currency | None, *, named: bool) -> str:
    """How the two stand, then what the money says."""
    stands, money = _stands(verdict, about, named=named), _money(verdict, about, currency)
    if not money:
        return stands
    if verdict.bought:
        return f"{stands}; {money}"
    agrees = verdict.outcome in LEADS and _better(verdict) != front(verdict)[0]
    return f"{stands}, {'but' if agrees and verdict.value is not Value.LEVEL else 'and'} {money}"


def _stands(verdict: Verdict, about: Pair, *, named: bool) -> str:
    names = about.names
    first, second = map(names.setup, front(verdict))
    span = front_span(verdict)
    by = with_unit(span.digits(), "%")
    if verdict.outcome in LEADS:
        small = ", perhaps too little to matter" if verdict.perhaps_small else ""
        return f"{first} is ahead of {second} by {by}{small}{over_bridge(verdict, names)}"
    both = f"{names.setup(about.a)} and {names.setup(about.b)} are " if named else ""
    measurably = f", measurably {first} by {by}" if verdict.measurably else ""
    return f"{both}{_state(verdict)}{measurably}{over_bridge(verdict, names)}"


def _state(verdict: Verdict) -> str:
    return "level" if verdict.outcome is Outcome.LEVEL else "unsettled"


def _better(verdict: Verdict) -> str:
    return verdict.a if verdict.value is Value.A else verdict.b


def _money(verdict: Verdict, about: Pair, currency: Currency | None) -> str:
    if verdict.bought:
        return verdict.bought
    if currency is None or verdict.prices is None or verdict.value is Value.UNKNOWN:
        return ""
    if verdict.value is Value.LEVEL:
        return even_words(value_open=verdict.value_open)
    price = verdict.prices[0 if verdict.value is Value.A else 1]
    return f"{about.names.setup(_better(verdict))} is the better value at {amount(price, currency)}"
