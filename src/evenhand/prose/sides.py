"""The sides of a claim that its own words leave open: from other claims, the pair spoken of, or all."""

from __future__ import annotations

from dataclasses import replace

from evenhand.prose.reading import ALIKE, SIDED, Claim, Reading
from evenhand.prose.scopes import quoted_in
from evenhand.prose.signs import Named

FROM_OTHERS = ("cause", "forecast", "lasting", "everyone", "leans", "steady")


def with_sides(claim: Claim, every: list[Claim], reading: Reading) -> Claim:
    """The same with the sides filled that its own words leave open: from other claims, then all others."""
    if claim.rule.says in ALIKE:
        return claim
    named = reading.sentence.keys(Named.SETUP)
    if claim.rule.says == "cause" and len(claim.better) == len(named) == 2:
        return replace(claim, better=named[:1], worse=named[1:])  # what sets two apart puts neither ahead
    if claim.rule.says in FROM_OTHERS:
        sided = next(
            (c for c in every if c.rule.says in SIDED and not c.denied and (c.better or c.worse)), None
        )
        alike = next((c for c in every if c.rule.says in ALIKE), None)
        if sided is not None:
            claim = replace(claim, better=sided.better, worse=sided.worse, sided=True)
        elif alike is not None:
            return replace(claim, better=alike.better[:1], worse=alike.better[1:])
    if claim.rule.says == "cause" and claim.better and claim.worse and not named:
        claim = replace(claim, sided=True)
    elif claim.rule.says == "cause" and not claim.sided:
        it = reading.context.subject if reading.rules["roles.it"].search(reading.sentence.text) else ""
        first = (it,) if it and it not in named else named[:1]
        worse = tuple(s for s in named if s not in first)
        moved = reading.rules["nets.moved"].search(reading.sentence.text)
        one = (bool(it) or len(named) == 1) and not moved
        claim = replace(claim, better=first, worse=worse, sided=one)
    better, worse = claim.better, claim.worse
    if not better and not worse:
        better = named[:1] or reading.context.recent[:1] or _any(claim, reading)
    is_open = not (better and worse) and not reading.context.pair and len(named) < 2
    better, worse = _both_sides(better, worse, reading, claim)
    return replace(claim, better=better, worse=worse, open=is_open)


def _any(claim: Claim, reading: Reading) -> tuple[str, ...]:
    """Somebody, for a claim that goes too far of whomever it is made."""
    free = claim.rule.needs == "hardware" or claim.rule.says in ("cause", "leans", "steady")
    return reading.ground.setups[:1] if free else ()


def _both_sides(
    better: tuple[str, ...], worse: tuple[str, ...], reading: Reading, claim: Claim
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The same with the side filled that is left open; "of the two" is held against one, not against all."""
    if claim.of_two and len(worse) > 1 and len(better) == 1:
        worse = _others(better, reading, claim)
    if better and not worse:
        return better, _others(better, reading, claim)
    if worse and not better:
        return _others(worse, reading, claim), worse
    return better, worse


def _others(named: tuple[str, ...], reading: Reading, claim: Claim) -> tuple[str, ...]:
    """Against whom these are held where nobody says so: the other of two spoken of, else all others."""
    pair = reading.context.pair
    others = tuple(s for s in reading.ground.setups if s not in named)
    if claim.rule.says in ("first", "last") and not claim.of_two:
        return others
    spoken = reading.sentence.keys(Named.SETUP)
    main = reading.ground.setups[:2] if claim.of_two else ()
    for two in (spoken if len(spoken) == 2 else (), pair, _quoted_pair(named, reading), main):
        rest = tuple(s for s in two if s not in named)
        if rest and set(named) & set(two):
            return rest
    return others


def _quoted_pair(named: tuple[str, ...], reading: Reading) -> tuple[str, ...]:
    """The pair that every reference in the sentence is of, where these are of it."""
    whole = (0, len(reading.sentence.text))
    told = {frozenset(q.setups) for q in quoted_in(reading.sentence, whole, reading.ground)}
    pair = next(iter(told)) if len(told) == 1 else frozenset()
    return tuple(pair) if len(pair) == 2 and set(named) <= pair else ()
