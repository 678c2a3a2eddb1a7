"""What a sentence claims: of whom, over whom, where and in which way. Whether it stands is not asked here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import zip_longest

from evenhand.prose.clause_scopes import clause_scope, fronted, in_context, listed_scope
from evenhand.prose.clauses import Clause, claims_nothing, clauses, is_denied, not_said
from evenhand.prose.part_claims import by_part, part_sides
from evenhand.prose.reading import ALIKE, SIDED, Claim, Made, Met, Reading
from evenhand.prose.roles import NO_ROLES, Roles, roles_in
from evenhand.prose.rules import ClaimRule
from evenhand.prose.scopes import WIDEST, taken_away
from evenhand.prose.sides import with_sides
from evenhand.prose.signs import Named
from evenhand.prose.unread import compares, is_no_result
from evenhand.prose.word_claims import gapped
from evenhand.prose.words_read import by_words

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
    found += by_part(found, reading)
    if not spans and compares(reading) and not is_no_result(reading, money):
        found = list(by_words(reading))
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
        if subject := fronted(reading, clause, then):
            before = Roles(subjects=(subject,))
        met, made = len(spans), _in_clause(reading, clause, before, spans)
        if refused and reading.rules["exempt.excuse"].search(reading.text(clause.span)):
            made = [each for each in made if each[1].rule.says != "cause"]
        refused = refused or clause.quiet_from < clause.end
        yield from (replace(claim, scope=here) for _, claim in made)
        if not made and len(spans) == met and last is not None:
            yield from (replace(claim, scope=here) for claim in gapped(reading, clause, last))
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
    silent = list(not_said(reading.sentence, reading.rules))
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
    if rule.says == "lasting" and taken_away(reading.sentence, met.clause.span, rules):
        return True  # what stays ahead without a test stays so on record
    if rule.says in BARE and rules["exempt.neither"].search(before):
        return rule.says != "same"
    if rule.says in REFUSED_BY and rules[REFUSED_BY[rule.says]].search(before):
        return True
    if rule.says in ("same", "first") and rules["exempt.perhaps"].search(before):
        return True
    return rule.negatable and is_denied(reading.sentence, found, clause=met.clause, rules=reading.rules)


def _is_flatly(reading: Reading, met: Met) -> bool:
    """Whether a comparison is denied and nothing else, so that the record may say that it is so."""
    flat = reading.rules["exempt.flatly"].search(reading.text((met.clause.start, met.found.start())))
    return met.rule.says in SIDED and met.rule.of == "speed" and flat is not None


def _made(reading: Reading, met: Met, *, before: Roles) -> Iterator[tuple[Roles, Claim]]:
    """A claim with its roles, or nothing where nothing that it needs is there."""
    roles, rule = roles_in(reading, met, before=before), met.rule
    if rule.says in SIDED and rule.of == "speed" and not (roles.subjects or roles.objects):
        met, roles = part_sides(reading, met, roles=roles)
    claim = _claim(reading, met, roles=roles)
    if claim is not None:
        yield roles, claim


def _claim(reading: Reading, met: Met, *, roles: Roles) -> Claim | None:
    """A claim with its sides as its rule has them; None where nothing that it needs is there."""
    rule = met.rule
    if roles.nobody or not _has_what_it_needs(reading, met, roles=roles):
        return None
    text = reading.text(met.clause.span)
    made = Claim(
        rule=rule, span=met.found.span(), scope=WIDEST, clause=met.clause.start,
        parts=_parts(reading, met.clause.span)
        or _parts(reading, met.found.span())
        or _parts_before(reading, met),
        within=bool(reading.rules["scope.within"].search(text)),
        joint=bool(reading.rules["scope.joint"].search(text)),
        of_two=bool(reading.rules["roles.of_two"].search(text)),
        denied=met.denied, who=met.found.groupdict().get("who") or rule.who,
    )  # fmt: skip
    if rule.says in ALIKE or rule.says in ("neither", "apart"):
        return _alike(made, reading, roles)
    better, worse = roles.subjects, roles.objects
    if rule.says in ("first", "last"):
        better, worse = better or worse, ()  # nothing is better than whoever stands after "than"
    if rule.says in ("behind", "last"):
        better, worse = worse, better
    return replace(made, better=better, worse=worse)


def _has_what_it_needs(reading: Reading, met: Met, *, roles: Roles) -> bool:
    """Whether what the rule needs is named, so that it is a claim at all."""
    sentence, rule = reading.sentence, met.rule
    named = bool(sentence.of(Named.SETUP) or roles.subjects)
    if rule.says == "everyone":
        praise = "praise.strong" if sentence.of(Named.TEST) else "praise.any"
        praised = rule.needs != "praise" or bool(reading.rules[praise].search(sentence.text))
        return named and praised and not sentence.of(Named.AUDIENCE)
    if rule.needs == "hardware":
        hard = named or sentence.of(Named.PART) or sentence.of(Named.KIND)
        return bool(hard or reading.rules["praise.hardware"].search(sentence.text))
    if rule.needs == "part":
        return _is_placed(reading, named=named) and bool(sentence.of(Named.PART) or sentence.of(Named.KIND))
    if rule.says in ALIKE:
        alike = reading.rules["exempt.alike"].search(reading.text(met.clause.span))
        return not alike and not _of_parts(reading, met.clause)
    return named


def _is_placed(reading: Reading, *, named: bool) -> bool:
    """Whether a cause has something that it may be the cause of."""
    sentence, context = reading.sentence, reading.context
    if named or sentence.of(Named.TEST) or sentence.of(Named.GROUP) or context.heading.tests:
        return True
    return bool(context.recent and reading.rules["roles.it"].search(sentence.text))


def _of_parts(reading: Reading, clause: Clause) -> bool:
    """Whether what is said to be alike are parts that are alike on record."""
    kinds = _parts(reading, clause.span)
    return bool(kinds) and all(
        reading.ground.alike(k, reading.sentence.keys(Named.SETUP, clause.span)) for k in kinds
    )


def _parts(reading: Reading, span: tuple[int, int]) -> tuple[str, ...]:
    """The kinds of part that a stretch names, by kind or by name."""
    kinds = list(reading.sentence.keys(Named.KIND, span))
    kinds += [reading.ground.kinds_of(key) for key in reading.sentence.keys(Named.PART, span)]
    return tuple(dict.fromkeys(kinds))


def _parts_before(reading: Reading, met: Met) -> tuple[str, ...]:
    """Of a temperature told behind a colon, the parts that stand before it."""
    before = met.clause.start
    listed = met.rule.of == "heat" and reading.text((before, before + 1)) == ":"
    return _parts(reading, (0, before)) if listed else ()


def _alike(claim: Claim, reading: Reading, roles: Roles) -> Claim | None:
    """Who is said to be alike: two or more; where fewer are named, who was spoken of."""
    who = tuple(dict.fromkeys((*roles.subjects, *roles.objects)))
    if len(who) < 2:
        pair = reading.context.pair or (reading.ground.setups[:2] if not who else ())
        others = [s for s in (*pair, *reading.context.recent) if s not in who]
        who = (*who, *others[: 2 - len(who)])
    placed = reading.sentence.of(Named.SETUP) or reading.context.recent or reading.sentence.of(Named.TEST)
    return replace(claim, better=who) if len(who) > 1 and placed else None
