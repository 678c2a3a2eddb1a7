"""What is told of a question that the record has nothing on: which words, and what could be asked instead."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.prose.ground import NOBODY, Ground
from evenhand.prose.wanted import Matter, Wanted
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import listed

ASKS = {
    Matter.VALUE: "Which is better value", Matter.NOISE: "Which is quieter",
    Matter.HEAT: "Which is cooler", Matter.POWER: "Which draws less power",
}  # fmt: skip


def not_known(asked: Wanted, ground: Ground) -> Iterator[str]:
    """The words that nothing on record answers to, then a question that can be looked up."""
    words = tuple(f"“{isolated(each)}”" for each in asked.not_on_record)
    yield f"The record has nothing on {listed(words)}."
    pair = instead_of(asked, ground)
    known = listed(tuple(matters(ground)))
    if pair is not None and known:
        yield f"It can be asked for {known}, as in: “{question(asked, pair, ground)}”"


def matters(ground: Ground) -> Iterator[str]:
    """What was measured or noted, in words."""
    backings = [each for (who, *_), each in ground.backings.items() if who == NOBODY]
    if any(each.findings for each in backings):
        yield "speed"
    if ground.prices and ground.audiences:
        yield "value"
    gaps = [gap for each in backings for gap in each.gaps]
    if any(not gap.part for gap in gaps):
        yield "noise"
    if any(gap.part for gap in gaps):
        yield "heat"
    if any(each.power for each in backings):
        yield "power at the wall"
    if any(each.findings for each in backings):
        yield "causes"


def instead_of(asked: Wanted, ground: Ground) -> tuple[str, str] | None:
    """Two setups that are held against each other on record, those that were named before any other."""
    every = [(a, b) for who, a, b in ground.backings if who == NOBODY]
    return max(every, key=lambda pair: len({*pair} & {*asked.setups}), default=None)


def question(asked: Wanted, pair: tuple[str, str], ground: Ground) -> str:
    """A question of the same matter about what else was named, in words that are known."""
    a, b = (ground.names.setup(each) for each in pair)
    whom = [ground.audiences[each] for each in asked.audiences]
    where = [ground.names.test(each) for each in asked.tests] + [ground.names.group(g) for g in asked.groups]
    about = "".join([f" in {each}" for each in where[:1]] or [f" for {each}" for each in whom[:1]])
    plain = "Which is better" if whom and not where else "Which is faster"
    return f"{ASKS.get(asked.matter, plain)}{about}, {a} or {b}?"
