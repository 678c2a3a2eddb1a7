"""What was tried on a verdict that nothing turns, for what, and what there was none of to try.

Looked for is who is ahead and, where money says something, who is better value. Whether equal value is told
as level or as not told apart is not, so no sentence here says that nothing at all would change.
"""

from __future__ import annotations

from collections.abc import Collection

from evenhand.publish.numbers import capital, listed, number, with_unit
from evenhand.verdicts.moves import Lever, Steps

STEPS = Steps()
FAR, WIDE = (
    with_unit(number(100 * most), "%") for most in (STEPS.price_most, STEPS.margin_most)
)  # fmt: skip
BRIEFLY = {
    Lever.PRICE: f"no price up to {FAR} either way", Lever.WEIGHT: "no weight",
    Lever.MARGIN: f"no other margin up to {WIDE}",
    Lever.TITLE: "no test left out", Lever.RUN: "no run put back", Lever.METRIC: "no judging by 1% lows",
}  # fmt: skip
HOW = {
    Lever.PRICE: f"each price up to {FAR} either way", Lever.WEIGHT: "each weight from nothing to all",
    Lever.MARGIN: f"every margin up to {WIDE}", Lever.TITLE: "each test left out",
    Lever.RUN: "each run that was left out put back", Lever.METRIC: "games judged by their 1% lows",
}  # fmt: skip
LACKING = {
    Lever.PRICE: "no price of both", Lever.WEIGHT: "no second weight", Lever.MARGIN: "no margin",
    Lever.TITLE: "no second test", Lever.RUN: "no run that was left out", Lever.METRIC: "no 1% lows",
}  # fmt: skip


def asked_words(*, value: bool) -> str:
    """What was looked for; `value` where money says something of the two."""
    return "who is ahead or better value" if value else "who is ahead"


def nothing_turns(tried: Collection[Lever], *, value: bool) -> str:
    """That none of these turns it, in one sentence; none is tried on one machine beside itself."""
    if not tried:
        return "Nothing differs between the two, so there is nothing that could turn."
    return f"Nothing that was tried changes {asked_words(value=value)}: {listed(_of(BRIEFLY, tried))}."


def tried_words(tried: Collection[Lever], *, value: bool) -> str:
    """How far each was moved, what none of it changes, and what could not be."""
    said = f"Tried one by one: {one_by_one(tried)}. None of it changes {asked_words(value=value)}."
    lacking = _of(LACKING, [lever for lever in Lever if lever not in tried])
    return f"{said} {capital(f'there was {listed(lacking)} to try')}." if lacking else said


def one_by_one(tried: Collection[Lever]) -> str:
    """What was tried, as a list."""
    return listed(_of(HOW, tried))


def _of(words: dict[Lever, str], levers: Collection[Lever]) -> tuple[str, ...]:
    return tuple(said for lever, said in words.items() if lever in levers)
