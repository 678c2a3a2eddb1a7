"""What the money page opens with: who is better value, until which price, and for whom it is otherwise."""

from __future__ import annotations

from evenhand.desk.money.basis import MoneyGround
from evenhand.desk.money.valuing import valued
from evenhand.desk.verdict.judged import Judgement
from evenhand.money.break_even import BreakEven, break_even
from evenhand.publish.direction import isolated
from evenhand.publish.money_answer import first_by_value, money_answer, turn_of, value_clause
from evenhand.publish.money_words import amount, most_words, no_worth_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, listed

NearestTurn = tuple[tuple[str, str], BreakEven]


def answer_of(ground: MoneyGround, pair: tuple[str, str]) -> str:
    """Who is better value for this audience, until which price, and with which further costs."""
    here, names, currency = ground.here, ground.names, ground.currency
    if here.trouble is not None:
        return f"{isolated(here.audience.name)}: {here.trouble}."
    verdict = here.verdict(*pair)
    clause = value_clause(verdict, here.among, names) if verdict is not None else ""
    if verdict is None or not clause:
        return f"{isolated(here.audience.name)}: {no_worth_words(verdict)}"
    first = first_by_value(verdict, here.among)
    even = _even(ground, pair)
    nearest = nearest_of(ground, first) if first else None if even is None else (pair, even)
    turn = "" if nearest is None else turn_of(first, *nearest, names, currency)
    return money_answer(here.audience.name, clause, turn, _further(ground))


def nearest_of(ground: MoneyGround, first: str) -> NearestTurn | None:
    """The first one with the rival that its price reaches first as it rises, and their break-even."""
    found = []
    for other in ground.priced:
        even = _even(ground, (first, other)) if other != first else None
        if even is not None and even.low is not None:
            found.append((even.low, ((first, other), even)))
    return min(found, key=lambda each: each[0])[1] if found else None


def _even(ground: MoneyGround, pair: tuple[str, str]) -> BreakEven | None:
    """The price of the first of a pair at which the two are level, seen from either side."""
    edge = ground.edge(*pair)
    if edge is None or pair[1] not in ground.prices:
        return None
    other = ground.prices[pair[1]]
    return break_even(other, effect=edge.effect, half=edge.half, fixed_minor=ground.fixed_minor)


def _further(ground: MoneyGround) -> str:
    """Who gives most for the money with further costs, where that is another one; "" where it is not."""
    found = valued(ground)
    if found is None or not found.more_minor or ground.fixed_minor:
        return ""
    first, then = found.first_at(0), found.first_at(found.more_minor)
    if first == then:
        return ""
    until = next(each.fixed_from for each in found.leads if each.setup == then)
    names, currency = ground.names, ground.currency
    more = amount(found.more_minor, currency)
    return most_words(names.setup(first), names.setup(then), amount(until, currency), more)


def among_of(judgement: Judgement, names: Names) -> tuple[tuple[str, str], ...]:
    """Every audience with who is better value for it, those that are told the same together; none for one."""
    said: dict[str, list[str]] = {}
    for each in judgement.audiences:
        if each.verdicts:
            clause = value_clause(each.front_first[0], each.among, names)
            said.setdefault(clause or "nothing is said of value", []).append(isolated(each.audience.name))
    if len(judgement.audiences) < 2:
        return ()
    return tuple((listed(tuple(who)), f"{capital(clause)}.") for clause, who in said.items())
