"""What a claim was taken for, and where it stands, in the words of the rules."""

from __future__ import annotations

from evenhand.metrics.definitions import definition
from evenhand.prose.reading import ALIKE, Claim, Reading
from evenhand.prose.scopes import IDLE
from evenhand.prose.script import Place, place_in
from evenhand.publish.numbers import listed

SAYS = {
    "ahead": "ahead", "behind": "ahead", "level": "level", "same": "same", "first": "first_of_all",
    "last": "last_of_all",
}  # fmt: skip


def place_of(span: tuple[int, int], reading: Reading) -> tuple[Place, str]:
    """A stretch of a sentence as a place in the script, with its words."""
    start, end = reading.sentence.source(*span)
    return place_in(reading.script, start, end), reading.script[start:end]


def taken_for(claim: Claim, reading: Reading) -> str:
    """What a claim was read as, so that a reader sees where it was read otherwise than it was meant."""
    said, names = reading.rules.said, reading.ground.names
    says = claim.rule.says
    if says == "cause":
        what = said["cause"].format(part=listed(claim.parts), scope=scope_words(claim, reading))
        return alone_words(what, reading)
    if says in said and says not in SAYS:
        return alone_words(said[says], reading)
    better, worse = (tuple(map(names.setup, side)) for side in (claim.better, claim.worse))
    scope = scope_words(claim, reading)
    if says in ALIKE:
        what = said["comparative"].format(
            subject=better[0], says=said[SAYS[says]], object=listed(better[1:]), scope=scope
        )
    elif says == "first":
        what = said["first"].format(subject=listed(better), says=said[SAYS[says]], scope=scope)
    elif says == "last":
        what = said["first"].format(subject=listed(worse), says=said[SAYS[says]], scope=scope)
    else:
        what = said["comparative"].format(
            subject=listed(better), says=said["ahead"], object=listed(worse), scope=scope
        )
    return alone_words(" ".join(what.split()).replace(" ,", ","), reading)


def alone_words(what: str, reading: Reading) -> str:
    """What something was taken for, as a phrase."""
    return reading.rules.words("taken", what=what)


def scope_words(claim: Claim, reading: Reading) -> str:
    """Over what a claim was taken to speak."""
    said, names, scope = reading.rules.said, reading.ground.names, claim.scope
    of = f"for_{claim.rule.of}"
    of = of if claim.parts or f"{of}_whole" not in said else f"{of}_whole"
    by = said[of].format(part=listed(claim.parts)) + " " if of in said else ""
    metric = said["by"].format(metric=definition(scope.metric).label) if scope.metric else ""
    if scope.tests:
        tests = tuple(said["idle"] if test == IDLE else names.test(test) for test in scope.tests)
        return by + said["in_tests"].format(tests=listed(tests)) + metric
    if scope.audience:
        who = reading.ground.audiences.get(scope.audience, scope.audience)
        return by + said["for_audience"].format(audience=who) + metric
    if scope.group:
        return by + said["in_group"].format(group=names.group(scope.group)) + metric
    return (by + (said["overall"] if claim.rule.of == "speed" else "")).strip() + metric
