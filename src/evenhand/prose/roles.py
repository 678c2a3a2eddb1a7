"""Who is said to be better than whom: the setups of a clause, sorted by where they stand beside the claim."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.prose.mentions import Mention
from evenhand.prose.reading import ALIKE, SIDED, Met, Reading
from evenhand.prose.rules import ClaimRule, Rules
from evenhand.prose.signs import Named

BRIEF = 12  # words of a sentence that leaves its subject unsaid
NEXT, CLOSE = 5, 3  # words within which an object follows a verb, and a word of comparison


@dataclass(frozen=True, slots=True, kw_only=True)
class Roles:
    """Who a claim is made of, and against whom, before its direction is looked at.

    `nobody` says that it is held against something that is no setup ("better than I had thought").
    """

    subjects: tuple[str, ...] = ()
    objects: tuple[str, ...] = ()
    nobody: bool = False


NO_ROLES = Roles()


def roles_in(reading: Reading, met: Met, *, before: Roles = NO_ROLES) -> Roles:
    """The roles of a claim: from names in its clause, then pronouns, then the clause before."""
    rule, clause, found = met.rule, met.clause, met.found
    text = reading.sentence.text
    head, tail = text[clause.start : found.start()], text[found.end() : clause.end]
    subjects, objects = _all_but(reading, met) or _named(reading, met)
    if not objects and rule.object != "none" and (subjects or rule.says not in ALIKE):
        objects = spoken_object(reading, tail, subjects, before.objects)
    for where in _where_spoken(rule, head=head + found[0], tail=tail, whole=text, objects=objects):
        subjects = subjects or spoken_subject(reading, where, objects=objects, just_named=before.subjects)
    if not (subjects or objects) and rule.lone and rule.says not in ALIKE and _is_brief(reading):
        subjects = tuple(filter(None, (reading.context.subject,)))
    if not subjects and not rule.winner:
        subjects = tuple(s for s in before.subjects if s not in objects)
        objects = objects or (before.objects if rule.object != "none" else ())
    nobody = not objects and bool(reading.rules["roles.than_nobody"].search(tail))
    return Roles(subjects=subjects, objects=tuple(o for o in objects if o not in subjects), nobody=nobody)


def _all_but(reading: Reading, met: Met) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """The sides where "the others" are the subject: all but who was named before; None where they are not."""
    found = reading.rules["roles.rest"].search(reading.sentence.text, met.clause.start, met.found.start())
    if found is None or reading.rules["roles.object"].search(reading.text((met.clause.start, found.start()))):
        return None
    named = reading.sentence.keys(Named.SETUP, (0, found.start())) or reading.context.recent[:1]
    others = tuple(setup for setup in reading.ground.setups if setup not in named)
    return (others, named) if named and others else None


def _where_spoken(
    rule: ClaimRule, *, head: str, tail: str, whole: str, objects: tuple[str, ...]
) -> Iterator[str]:
    """Where a pronoun may be the subject: up to the claim, of what is alike after it too, else anywhere."""
    yield head
    if rule.says in ALIKE:
        yield tail
    if rule.object == "none" and not objects:
        yield whole


def _named(reading: Reading, met: Met) -> tuple[tuple[str, ...], tuple[str, ...]]:
    subjects: list[str] = []
    objects: list[str] = []
    last_at, last, rows = -1, subjects, 0
    for mention in _with_a_part(reading, met):
        between = reading.text((last_at + 1, mention.at)) if last_at >= 0 else ""
        turns = last is objects and between.strip() == ","  # "compared with this one, that one is"
        if turns or not (last_at >= 0 and reading.rules["roles.chain"].fullmatch(between)):
            side = _side(reading, met, at=mention.at)
            rows += met.rule.winner == "after" and mention.at >= met.found.start()
            side = "" if rows > 1 and side == "subject" else side  # only whom it names next is praised
            last = {"subject": subjects, "object": objects}.get(side, [])
        last_at = mention.at
        if mention.key not in last:
            last.append(mention.key)
    return tuple(subjects), tuple(objects)


def _with_a_part(reading: Reading, met: Met) -> Iterator[Mention]:
    """The setups of a clause, without those that only say between whom it is decided ("of A and B, A is")."""
    every = reading.sentence.of(Named.SETUP, met.clause.span)
    rows = [f.span() for f in reading.rules["roles.domain"].finditer(reading.sentence.text, *met.clause.span)]
    outside = [m for m in every if not any(start <= m.at < end for start, end in rows)]
    yield from every if met.rule.says in ALIKE or not outside else outside


def _side(reading: Reading, met: Met, *, at: int) -> str:
    """Which side a setup is on; "" where it is on neither."""
    rule, found, begin = met.rule, met.found, met.clause.start
    strict = bool(reading.rules["roles.strict_object"].search(reading.text((begin, at))))
    if found.start() <= at < found.end():
        led = at > found.start() and bool(reading.sentence.of(Named.SETUP, (begin, at)))
        return "object" if led and rule.says in SIDED else "subject"
    if at < found.start():
        return "object" if strict or rule.winner == "after" else "subject"
    if strict:
        return "object"
    return "subject" if rule.winner == "after" else _side_after(reading, met, at=at)


def _side_after(reading: Reading, met: Met, *, at: int) -> str:
    """The side of a setup that stands after a claim with no word of comparison before it."""
    rules, rule, found = reading.rules, met.rule, met.found
    before, between = reading.text((met.clause.start, at)), reading.text((found.end(), at))
    if rule.object == "next":
        after = reading.text((found.start(), at))
        return "object" if len(after.split()) <= NEXT and not rules["roles.apart"].search(after) else ""
    if rule.says in ALIKE:
        return "object"
    if rule.object == "than" and rules["roles.noun_of"].search(reading.text((found.start(), at))):
        return "subject"
    by_word = rules["roles.object"].search(between) and len(between.split()) <= CLOSE
    if rule.object == "than" and by_word and not _is_subject(rules, before, between):
        return "object"
    if not between.strip():
        return "object" if rules["roles.leads_to"].search(found[0]) else "subject"
    led = reading.sentence.of(Named.SETUP, (met.clause.start, found.start()))
    return "subject" if not led and rules["roles.subject_after"].search(before) else ""


def _is_subject(rules: Rules, before: str, between: str) -> bool:
    """Whether a small word makes a setup the subject, and no word of comparison goes before it."""
    return bool(rules["roles.subject_after"].search(before)) and not rules["roles.genitive"].search(between)


def _is_brief(reading: Reading) -> bool:
    """Whether a sentence is so short that it speaks of what was spoken of."""
    return len(reading.sentence.text.split()) <= BRIEF and not reading.sentence.of(Named.SETUP)


def spoken_subject(
    reading: Reading, text: str, *, objects: tuple[str, ...], just_named: tuple[str, ...]
) -> tuple[str, ...]:
    """Who "it", "both" or "all three" are; "it" is who the clause before was about."""
    rules, context = reading.rules, reading.context
    text = rules["roles.compared"].sub(" ", text)
    if rules["roles.all"].search(text):
        return tuple(s for s in reading.ground.setups if s not in objects)
    for place, which in ((0, "roles.former"), (-1, "roles.latter")):
        if rules[which].search(text) and context.pair:
            return (context.pair[place],)
    if rules["roles.both"].search(text):
        pair = tuple(s for s in (context.pair or context.recent[:2]) if s not in objects)
        return pair if len(pair) > 1 or objects else reading.ground.setups[:2]
    if rules["roles.it"].search(text):
        known = [s for s in (*just_named, context.subject, *context.recent) if s and s not in objects]
        return tuple(known[:1])
    return ()


def spoken_object(
    reading: Reading, text: str, subjects: tuple[str, ...], before: tuple[str, ...]
) -> tuple[str, ...]:
    """Whom "it", "both" or "the other" are behind a claim; `before` is whom the clause before held."""
    rules, context = reading.rules, reading.context
    if rules["roles.other"].search(text):
        return tuple(s for s in context.pair if s not in subjects)
    if rules["roles.object_it"].search(text):
        return tuple(s for s in (*before, *context.recent) if s not in subjects)[:1]
    if rules["roles.object_both"].search(text):
        others = [s for s in reading.ground.setups if s not in subjects]
        return tuple(s for s in (context.pair or others) if s not in subjects)
    return ()
