"""Claims of what is left when a test is taken away, and of a lead that hangs on one; the record has each."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.findings.finding import Index, LeftOut, Outcome
from evenhand.prose.ground import Ground, oriented
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import ALIKE, Claim, Reading
from evenhand.prose.scopes import ANY
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of, taken_for
from evenhand.publish.numbers import listed
from evenhand.verdicts.claims import Kind

SAID = {Outcome.AHEAD: "ahead", Outcome.BEHIND: "behind", Outcome.LEVEL: "level"}


def left_out(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """Who is ahead, or that two are level, without some test: asked of the index without it."""
    away = claim.scope.without
    if len(away) > 1:
        yield _objection(claim, reading, reading.rules.said["left_out_never"])
        return
    ends = bool(reading.rules["nets.gone"].search(reading.sentence.text, claim.span[1]))
    wrong: dict[tuple[str, str], LeftOut] = {}
    for a, b in _pairs(claim):
        for each in _left_out(claim, a, b, reading.ground):
            known = away == (ANY,) or each.test == away[0]
            if known and not _fits(claim, _seen(each.outcome, a, b, reading.ground), ends=ends):
                wrong.setdefault((a, b), each)
    stands_for_one = claim.open and ends and len(wrong) < len(_pairs(claim))
    if wrong and not stands_for_one:
        yield _otherwise(claim, *next(iter(wrong.items())), reading)


def _fits(claim: Claim, outcome: Outcome, *, ends: bool) -> bool:
    if claim.rule.says in ALIKE:
        return outcome is Outcome.LEVEL and (claim.rule.says == "level" or claim.within)
    return (outcome is Outcome.AHEAD) is not ends


def leaning(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """That an outcome hangs on a test, or on none: whether it is another one without."""
    ground, steady = reading.ground, claim.rule.says == "steady"
    tests = () if steady else reading.sentence.keys(Named.TEST, (claim.span[0], claim.span[1] + 1))
    groups = reading.sentence.keys(Named.GROUP) or ("",)
    flips = [
        each for a, b in _pairs(claim) for group in (*groups, claim.scope.group)
        for each in _left(group, a, b, ground) if each.flips
    ]  # fmt: skip
    wrong = [each.test for each in flips] if steady else [
        test for test in tests if test not in {each.test for each in flips}
    ]  # fmt: skip
    if wrong:
        told = listed(tuple(dict.fromkeys(map(ground.names.test, wrong))))
        yield _objection(claim, reading, reading.rules.words(f"{claim.rule.says}_not", tests=told))


def _pairs(claim: Claim) -> list[tuple[str, str]]:
    if claim.rule.says in ALIKE:
        who = claim.better
        return [(a, b) for i, a in enumerate(who) for b in who[i + 1 :]]
    return [(a, b) for a in claim.better for b in claim.worse if a != b]


def _left_out(claim: Claim, a: str, b: str, ground: Ground) -> tuple[LeftOut, ...]:
    return _left(claim.scope.group, a, b, ground)


def _left(group: str, a: str, b: str, ground: Ground) -> tuple[LeftOut, ...]:
    """The index of a pair without each of its tests."""
    backing, _ = ground.backing(a, b)
    index: Index | None = None if backing is None else backing.indexes.get(group)
    return () if index is None else index.left_out


def _seen(outcome: Outcome, a: str, b: str, ground: Ground) -> Outcome:
    """An outcome of a pair as the first of these two has it."""
    return oriented(outcome, turned=ground.backing(a, b)[1]) or outcome


def _otherwise(claim: Claim, pair: tuple[str, str], each: LeftOut, reading: Reading) -> Objection:
    names, said = reading.ground.names, reading.rules.said
    outcome = _seen(each.outcome, *pair, reading.ground)
    told = said["comparative"].format(
        subject=names.setup(pair[0]), says=said.get(SAID.get(outcome, ""), "—"), object=names.setup(pair[1]),
        scope="",
    ).strip()  # fmt: skip
    reason = reading.rules.words("left_out_otherwise", tests=names.test(each.test), told=told)
    return _objection(claim, reading, reason)


def _objection(claim: Claim, reading: Reading, reason: str) -> Objection:
    place, excerpt = place_of(claim.span, reading)
    return Objection(
        rule=Rule.CLAIM, place=place, excerpt=excerpt, reason=reason, kind=Kind.INDEX,
        taken_for=taken_for(claim, reading),
    )  # fmt: skip
