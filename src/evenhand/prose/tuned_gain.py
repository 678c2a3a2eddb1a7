"""That tuning made a machine quicker or slower than it was at stock, or was worth it, in words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from evenhand.prose.clause_scopes import in_context
from evenhand.prose.clauses import Clause, clauses, is_denied, not_said
from evenhand.prose.judging import judged
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.rules import ClaimRule
from evenhand.prose.scopes import scope_of
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of
from evenhand.prose.tuned_meant import figures_meant
from evenhand.prose.tuned_said import Span
from evenhand.tuning.figured import Of, TunedFigure

WAYS = ("worth", "quicker", "slower")
NO_LEAD = ("no_gain", "somewhere", "most_work")


def is_of_gain(reading: Reading) -> bool:
    """Whether a sentence without a full name of a setup is of a tuned part held against its own stock.

    Either it says so, or the study compares nothing else and it names the tuned setup by its state.
    """
    sentence, ground = reading.sentence, reading.ground
    pairs = {(each.setup, each.over) for each in ground.figured if each.of is Of.GAIN}
    return not sentence.keys(Named.SETUP) and any(set(ground.setups) == set(pair) for pair in pairs)


def names_state(reading: Reading) -> bool:
    """Whether a sentence calls a tuned setup by its state alone: "the mild tune"."""
    start, end = reading.sentence.source(0, len(reading.sentence.text))
    words, names = reading.script[start:end].casefold(), reading.ground.names
    tuned = {each.setup for each in reading.ground.figured if each.of is Of.GAIN}
    states = (names.setup(setup).rpartition(", ")[2].casefold() for setup in tuned)
    return any(re.search(rf"(?<!\w){re.escape(state)}(?!\w)", words) for state in states)


def names_machine(reading: Reading) -> bool:
    """Whether a sentence names a machine that is tuned in one state and measured in another as well."""
    names, own = reading.ground.names, {each.setup for each in reading.ground.held}
    tuned = {setup: names.setup(setup) for setup in reading.ground.setups if setup in own}
    machines = {
        name.partition(", ")[0]
        for setup, name in tuned.items()
        if any(names.apart(setup, other) != name for other in reading.ground.setups if other != setup)
    }
    return any(re.search(rf"(?<!\w){re.escape(each)}(?!\w)", reading.sentence.text) for each in machines)


def gained(reading: Reading) -> Iterator[tuple[Span, Objection]]:
    """A lead over stock that no runs on record bear, or that they have otherwise; the first one said."""
    gains = [each for each in figures_meant(reading) if each.of is Of.GAIN]
    for clause in clauses(reading.sentence, reading.rules):
        for way in WAYS:
            said = reading.rules[f"tuning.{way}"].search(
                reading.sentence.text, clause.start, clause.quiet_from
            )
            if said is None or _is_quiet(said, clause, reading):
                continue
            if not gains and way != "worth":
                yield said.span(), _unknown(said, reading)
                return
            at_stock = reading.rules["tuning.stock_leads"].search(reading.text((clause.start, said.end())))
            for refused in _judged(said, clause, gains, reading, better=(way == "slower") is bool(at_stock)):
                yield said.span(), refused
                return


def _is_quiet(said: re.Match[str], clause: Clause, reading: Reading) -> bool:
    """Whether a lead is denied, supposed, said to be none, or said of places that nobody named."""
    sentence, rules = reading.sentence, reading.rules
    if any(rules[f"tuning.{no}"].search(reading.text(clause.span)) for no in NO_LEAD):
        return True
    tail = reading.text((said.start(), clause.end))
    if rules["roles.than_nobody"].search(tail) and not rules["tuning.held_to_stock"].search(tail):
        return True  # "faster than we thought"
    away = any(start <= said.start() < end for start, end in not_said(sentence, rules))
    return away or is_denied(sentence, said, clause=clause, rules=rules)


def _judged(
    said: re.Match[str], clause: Clause, gains: list[TunedFigure], reading: Reading, *, better: bool
) -> Iterator[Objection]:
    """What a lead is refused by where it is of these setups, with what tuning bought in its place."""
    own = scope_of(reading.sentence, clause.span, reading.ground, reading.rules)
    if not own.said:
        own = scope_of(reading.sentence, (0, len(reading.sentence.text)), reading.ground, reading.rules)
    rule = ClaimRule(name="gain", pattern=said.re, says="ahead")
    for setup, over, answer in {(each.setup, each.over, each.answer): None for each in gains if each.over}:
        sides = ((setup,), (over,)) if better else ((over,), (setup,))
        claim = Claim(
            rule=rule, span=said.span(), clause=clause.start, better=sides[0], worse=sides[1],
            scope=in_context(reading, own, clause),
        )  # fmt: skip
        for each in judged(claim, reading):
            whole = not claim.scope.tests and not claim.scope.group and answer
            yield replace(each, would_stand=answer) if whole and each.rule is Rule.CLAIM else each


def _unknown(said: re.Match[str], reading: Reading) -> Objection:
    place, excerpt = place_of(said.span(), reading)
    return Objection(
        rule=Rule.CLAIM, place=place, excerpt=excerpt, would_stand="",
        reason=reading.rules.said["tuned_gain"],
    )  # fmt: skip
