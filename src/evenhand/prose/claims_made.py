"""What a sentence claims: of whom, over whom, where and in which way. Whether it stands is not asked here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import zip_longest

from evenhand.prose.claim_making import claim_of
from evenhand.prose.clause_scopes import clause_scope, fronted, in_context, listed_scope
from evenhand.prose.clauses import Clause, claims_nothing, clauses, is_denied, not_said
from evenhand.prose.echoes import echoes
from evenhand.prose.part_claims import by_part, part_sides
from evenhand.prose.reading import ALIKE, SIDED, Claim, Made, Met, Reading
from evenhand.prose.roles import NO_ROLES, Roles, roles_in
from evenhand.prose.rules import ClaimRule
from evenhand.prose.scopes import WIDEST, taken_away
from evenhand.prose.sided import Sides
from evenhand.prose.sides import with_sides
from evenhand.prose.signs import Named
from evenhand.prose.unread import compares, is_no_result
from evenhand.prose.word_claims import gapped
from evenhand.prose.worded import worded
from evenhand.prose.words_read import by_words

COMPARED = SIDED | ALIKE | {"first", "last", "neither", "apart"}
BARE = SIDED | ALIKE | {"first", "last"}  # what needs no word for speed
REFUSED_BY = {"first": "exempt.plainly", "level": "exempt.of_tests", "silent": "exempt.not_silent"}
"""Words right before a claim that refuse it, by what it says."""
LOUDER = ("everyone", "forecast", "lasting")  # a clause that claims one of these is judged by it alone


def claims_of(reading: Reading, money: re.Pattern[str]) -> Made:
    """Every claim of a sentence: by the rules, else by its words."""
    if claims_nothing(reading.sentence, reading.rules):
        return Made()
    spans: list[tuple[int, int]] = []
    found = list(_claims(reading, spans))
    if not (spans or found) and compares(reading) and not is_no_result(reading, money):
        found = list(by_words(reading))
    found = by_part(found, reading, money)
    told = [with_sides(c, found, reading) for c in found]
    return Made(
        claims=tuple(c for c in told if _loudest(c.clause, found) in ("", c.rule.says)),
        met=bool(spans or found),
    )


def _loudest(clause: int, found: list[Claim]) -> str:
    """What a clause is judged by alone, where it claims anything of that sort."""
    said = {claim.rule.says for claim in found if claim.clause == clause}
    return next((says for says in LOUDER if says in said), "")


def _claims(reading: Reading, spans: list[tuple[int, int]]) -> Iterator[Claim]:
    before, scope, refused = NO_ROLES, WIDEST, False
    last: Claim | None = None
    every = clauses(reading.sentence, reading.rules)
    for clause, then in zip_longest(every, every[1:]):
        scope = clause_scope(reading, clause, before=scope)
        if then is not None and not scope.tests:
            scope = listed_scope(reading, then) or scope
        here = in_context(reading, scope, clause)
        about: Sides | None = None
        if subject := fronted(reading, clause, then):
            before = Roles(subjects=(subject,))
            others = tuple(s for s in reading.sentence.keys(Named.SETUP, clause.span) if s != subject)
            about = Sides(subjects=(subject,), others=others)
        met, made = len(spans), _in_clause(reading, clause, before, spans)
        taken = spans[met:]
        made += _worded(reading, clause, before, taken, about=about, made=made)
        spans[met:] = taken
        if refused and reading.rules["exempt.excuse"].search(reading.text(clause.span)):
            made = [each for each in made if each[1].rule.says != "cause"]
        refused = refused or clause.quiet_from < clause.end
        yield from (replace(claim, scope=here) for _, claim in made)
        if not made and len(spans) == met:
            again = [*echoes(reading, clause, last), *([] if last is None else gapped(reading, clause, last))]
            yield from (replace(claim, scope=here) for claim in again[:1])
        last = made[-1][1] if made else last
        subjects = next((roles.subjects for roles, _ in made if roles.subjects), ())
        objects = next((roles.objects for roles, _ in made if roles.objects), ())
        named = subjects or reading.sentence.keys(Named.SETUP, clause.span)
        before = Roles(subjects=named, objects=objects) if named else before


def _in_clause(
    reading: Reading, clause: Clause, before: Roles, spans: list[tuple[int, int]]
) -> list[tuple[Roles, Claim]]:
    """The claims of a clause in reading order; of two rules that want the same words the earlier has them."""
    made: list[tuple[Roles, Claim]] = []
    silent = [*not_said(reading.sentence, reading.rules), *_days(reading)]
    metrics = [f.span() for m in reading.rules.metrics for f in m.pattern.finditer(reading.sentence.text)]
    for rule in reading.rules.claims:
        for found in rule.pattern.finditer(
            reading.sentence.text, clause.start, _reach(rule, clause, reading)
        ):
            free = all(found.end() <= c.span[0] or found.start() >= c.span[1] for _, c in made)
            named = metrics if rule.says in ("first", "last") else ()  # "the slowest one per cent"
            unsaid = rule.says != "everyone" and any(s <= found.start() < e for s, e in (*silent, *named))
            later = found.start() >= clause.end  # a rule that looks wide meets it again in its own clause
            met = Met(clause=clause, rule=_about(rule, reading.text(clause.span), reading), found=found)
            if not free or unsaid or later:
                continue
            spans.append(found.span())
            if not _is_denied(reading, met):
                made += _made(reading, met, before=before)
            elif _is_flatly(reading, met):
                made += _made(reading, replace(met, denied=True), before=before)
    firm = [each for each in made if not each[1].rule.yields]
    return sorted(_each_of_its_own(firm or made), key=lambda each: each[1].span)


def _days(reading: Reading) -> Iterator[tuple[int, int]]:
    """Where a day is told: its year says of nothing how long it lasts."""
    return (found.span() for found in reading.rules["money.date"].finditer(reading.sentence.text))


def _worded(
    reading: Reading, clause: Clause, before: Roles, taken: list[tuple[int, int]],
    *, about: Sides | None, made: list[tuple[Roles, Claim]],
) -> Iterator[tuple[Roles, Claim]]:  # fmt: skip
    """Who is ahead by the words of a clause, where no rule of its own compares anybody in it."""
    if any(claim.rule.says in COMPARED for _, claim in made):
        return
    found = worded(reading, clause, before, taken, about=about)
    if found is not None:
        met, roles = found
        if not (roles.subjects or roles.objects):
            met, roles = part_sides(reading, met, roles=roles)
        rule = _about(met.rule, reading.text(clause.span), reading)
        claim = claim_of(reading, replace(met, rule=rule), roles=roles)
        yield from () if claim is None else ((roles, claim),)


def _each_of_its_own(made: list[tuple[Roles, Claim]]) -> Iterator[tuple[Roles, Claim]]:
    """Without a lead that says once more what a clause says of value: "better value, ahead of both"."""
    value = [c.better for _, c in made if c.rule.of == "value" and c.rule.says == "ahead"]
    for each in made:
        claim = each[1]
        again = claim.rule.name == "ahead" and claim.rule.of == "speed" and claim.better in value
        if not again:
            yield each


def _about(rule: ClaimRule, text: str, reading: Reading) -> ClaimRule:
    """The rule, of noise, value or power where its clause says so."""
    whole = text if reading.rules["topics.price"].search(text) else reading.sentence.text
    if rule.of == "price" and reading.rules["topics.watts"].search(whole):
        return replace(rule, of="power")
    if rule.of != "speed" or rule.says not in BARE:
        return rule
    of = next((of for of in ("value", "noise", "power") if reading.rules[f"about.{of}"].search(text)), "")
    return replace(rule, of=of) if of else rule


def _reach(rule: ClaimRule, clause: Clause, reading: Reading) -> int:
    """How far a rule looks: to where its clause falls silent, or over it."""
    wide = rule.wide and clause.quiet_from == clause.end
    return len(reading.sentence.text) if wide else clause.quiet_from


def _is_denied(reading: Reading, met: Met) -> bool:
    rule, found, rules = met.rule, met.found, reading.rules
    text, before = reading.sentence.text, reading.text((met.clause.start, met.found.start()))
    if (
        rule.says == "forecast"
        and rule.negatable
        and (rules["exempt.unsure"].search(text) or rules["scope.more"].search(text))
    ):
        return True
    if rule.says == "cause" and (
        rules["exempt.which_part"].search(text) or rules["exempt.despite"].search(text)
    ):
        return True
    if rule.says == "lasting" and (open_ := _is_left_open(reading, met)) is not None:
        return open_
    if rule.loose and reading.sentence.of(Named.TEST, met.clause.span):
        return True
    if rule.loose and reading.rules["scope.each"].search(reading.text(met.clause.span)):
        return True
    if rule.says in BARE and rules["exempt.neither"].search(before):
        return rule.says != "same"
    if rule.says in REFUSED_BY and rules[REFUSED_BY[rule.says]].search(before):
        return True
    if rule.says in ("same", "first") and rules["exempt.perhaps"].search(before):
        return True
    if rule.says == "first" and rule.negatable and rules["exempt.nobody"].search(before):
        return True
    return rule.negatable and is_denied(reading.sentence, found, clause=met.clause, rules=reading.rules)


def _is_left_open(reading: Reading, met: Met) -> bool | None:
    """Whether a sentence leaves open what lasts; None where its words do not say.

    What stays ahead without a test is on record, and what the speaker will do is nothing that lasts.
    """
    text, rules = reading.sentence.text, reading.rules
    if rules["exempt.able"].search(text) and not rules["exempt.perhaps"].search(text):
        return False
    plans = any(rules[by].search(text) for by in ("exempt.own_plans", "exempt.open"))
    return True if plans or taken_away(reading.sentence, met.clause.span, rules) else None


def _is_flatly(reading: Reading, met: Met) -> bool:
    """Whether a comparison is denied and nothing else, so that the record may say that it is so."""
    flat = reading.rules["exempt.flatly"].search(reading.text((met.clause.start, met.found.start())))
    return met.rule.says in SIDED and met.rule.of == "speed" and flat is not None


def _made(reading: Reading, met: Met, *, before: Roles) -> Iterator[tuple[Roles, Claim]]:
    """A claim with its roles, or nothing where nothing that it needs is there."""
    roles, rule = roles_in(reading, met, before=before), met.rule
    if rule.says in SIDED and rule.of == "speed" and not (roles.subjects or roles.objects):
        met, roles = part_sides(reading, met, roles=roles)
    claim = claim_of(reading, met, roles=roles)
    if claim is not None:
        yield roles, claim
