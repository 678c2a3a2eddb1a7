"""A claim with its sides, out of words that were met and who stands beside them."""

from __future__ import annotations

from dataclasses import replace

from evenhand.prose.activities import audience_of_most
from evenhand.prose.clauses import Clause
from evenhand.prose.reading import ALIKE, Claim, Met, Reading
from evenhand.prose.roles import Roles
from evenhand.prose.scopes import WIDEST
from evenhand.prose.signs import Named


def claim_of(reading: Reading, met: Met, *, roles: Roles) -> Claim | None:
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
        known = sentence.of(Named.AUDIENCE) or audience_of_most(sentence.text, reading.ground, reading.rules)
        return named and praised and not known
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
    if context.told is not None and not context.told.level:
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
        others = [
            s for s in (*pair, *reading.sentence.keys(Named.SETUP), *reading.context.recent) if s not in who
        ]
        who = (*who, *others[: 2 - len(who)])
    sentence, context = reading.sentence, reading.context
    placed = sentence.of(Named.SETUP) or context.recent or sentence.of(Named.TEST) or context.asked.said
    return replace(claim, better=who) if len(who) > 1 and placed else None
