"""Whether each claim of a sentence stands on this study's record; what does not is objected to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from evenhand.findings.finding import Outcome
from evenhand.prose.asked import Question, questions
from evenhand.prose.bounded import is_bounded, is_measured_within
from evenhand.prose.counted import count_in, miscounted
from evenhand.prose.ground import Ground, oriented
from evenhand.prose.left_out import leaning, left_out
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.part_claims import is_level_effect
from evenhand.prose.reading import ALIKE, SIDED, Claim, Reading
from evenhand.prose.spoken import alone_words, place_of, taken_for
from evenhand.publish.numbers import listed
from evenhand.verdicts.claims import Kind, Standing
from evenhand.verdicts.claims_measured import CONTRARY, may_be_small
from evenhand.verdicts.ladder import standing

NEAR = 20  # characters beside a claim within which a word of size is its own


def judged(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """What is objected to in a claim: nothing where it stands, else the first thing that does not."""
    own = _denied if claim.denied else BY_SAYS.get(claim.rule.says, _compared)
    yield from own(claim, reading)


def _compared(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """What is objected to in a comparison."""
    says, of = claim.rule.says, claim.rule.of
    if claim.scope.without and of == "speed":
        yield from left_out(claim, reading)
    elif of == "price":
        yield from _price(claim, reading)
    elif (count := count_in(claim, reading)) is not None:
        yield from miscounted(claim, count, reading)
    elif not (says in ALIKE and is_level_effect(claim, reading)):
        yield from _asked(claim, reading, list(questions(claim, reading.ground)))


def _denied(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """What is said not to be so, where the record has all of it so."""
    found = [question.asked(reading.ground) for question in questions(claim, reading.ground)]
    told = [each for each in found if each is not None and each.allowed]
    if told and len(told) == len(found):
        yield replace(refusal(claim, reading, replace(told[0], reason=CONTRARY)), taken_for="")


def _asked(claim: Claim, reading: Reading, asked: list[Question]) -> Iterator[Objection]:
    bounded = is_bounded(claim, reading)
    if _is_behind_somebody(claim, reading) and any(_stands(each, reading) for each in asked):
        return
    for question in asked:
        if bounded and is_measured_within(question, reading.ground):
            continue
        found = question.asked(reading.ground)
        if found is not None and not found.allowed:
            yield refusal(claim, reading, found)
            return
        if found is not None and _is_too_large(claim, reading, found):
            yield replace(refusal(claim, reading, found), reason=reading.rules.said["large_not"])
            return


def _is_behind_somebody(claim: Claim, reading: Reading) -> bool:
    """Whether somebody is said to be behind, and not behind whom, so that anybody ahead makes it so."""
    of_two = reading.rules["roles.definite"].search(reading.text((claim.clause, claim.span[0])))
    return claim.open and claim.rule.says == "behind" and claim.rule.of == "speed" and of_two is None


def _stands(question: Question, reading: Reading) -> bool:
    found = question.asked(reading.ground)
    return found is not None and found.allowed


def _is_too_large(claim: Claim, reading: Reading, found: Standing) -> bool:
    """Whether a lead that may be too small to matter is told as a large one."""
    near = reading.text((max(0, claim.span[0] - NEAR), claim.span[1] + NEAR))
    large = reading.rules["size.large"].search(near)
    return claim.rule.says in SIDED and may_be_small(found.would_stand) and large is not None


def refusal(claim: Claim, reading: Reading, found: Standing) -> Objection:
    """An objection off the ladder, told in the voice of who publishes."""
    place, excerpt = place_of(claim.span, reading)
    voice = reading.ground.voice
    return Objection(
        rule=Rule.CLAIM, place=place, excerpt=excerpt, reason=found.reason.told(voice), kind=found.kind,
        taken_for=taken_for(claim, reading),
        would_stand="" if found.would_stand is None else found.would_stand.told(voice),
    )  # fmt: skip


def _cause(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """A part as the cause: each part in the tests spoken of; parts together where the record has them so."""
    ground, scope = reading.ground, claim.scope
    tests = scope.tests or (ground.group_tests(scope.group) if scope.group else ())
    refused: list[Standing] = []
    for a in claim.better:
        for b in claim.worse:
            backing, turned = ground.backing(a, b)
            if backing is None:
                continue
            says = oriented(Outcome.AHEAD, turned=turned) if claim.sided else None
            found = [standing(Kind.CAUSE, backing, about=p, says=says, tests=tests) for p in claim.parts]
            if claim.joint and any(_is_joint(each, claim) for each in found):
                continue
            wrong = next((each for each in found if not each.allowed), None)
            if wrong is None and claim.open:
                return  # of nobody in particular: it stands where it stands for a pair
            refused += [] if wrong is None else [wrong]
    yield from (refusal(claim, reading, wrong) for wrong in refused[:1])


def _neither(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """That neither of two is ahead: wrong where one is called."""
    for a, b in combinations(claim.better, 2):
        for says in (Outcome.AHEAD, Outcome.BEHIND):
            sided = replace(claim, rule=replace(claim.rule, says="ahead"), better=(a,), worse=(b,))
            asked = [replace(q, says=says) for q in questions(sided, reading.ground)]
            called = [s for q in asked if (s := q.asked(reading.ground)) is not None and s.allowed]
            if called:
                yield refusal(claim, reading, replace(called[0], reason=CONTRARY))
                return


def _apart(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """That one of two is ahead, whichever: wrong where neither is called in a test spoken of."""
    for a, b in combinations(claim.better, 2):
        sided = replace(claim, rule=replace(claim.rule, says="ahead"), better=(a,), worse=(b,))
        for question in questions(sided, reading.ground):
            ways = (replace(question, says=says) for says in (Outcome.AHEAD, Outcome.BEHIND))
            found = [each for way in ways if (each := way.asked(reading.ground)) is not None]
            if found and not any(each.allowed for each in found):
                yield refusal(claim, reading, found[0])
                return


def _is_joint(found: Standing, claim: Claim) -> bool:
    """Whether the record itself has these parts as a bundle that makes the difference."""
    said = found.would_stand
    if said is None or said.key != "cause-joint":
        return False
    return set(said.slots["parts"].values) == set(claim.parts)


def _everyone(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """An audience that is not on record; what stands is told for one that is."""
    place, excerpt = place_of(claim.span, reading)
    ground, rules = reading.ground, reading.rules
    known = listed(tuple(ground.audiences.values()))
    who = rules.said["anyone"] if claim.rule.who else " ".join(plain_who(claim, reading).split())
    yield Objection(
        rule=Rule.EVERYONE, place=place, excerpt=excerpt,
        reason=rules.words("everyone", who=who or excerpt, known=known or "—"),
        would_stand=_for_those_on_record(claim, ground),
    )  # fmt: skip


def plain_who(claim: Claim, reading: Reading) -> str:
    """Who is spoken of, as it was written."""
    at = reading.sentence.text.find(claim.who, *claim.span) if claim.who else -1
    if at < 0:
        return ""
    start, end = reading.sentence.source(at, at + len(claim.who))
    return reading.script[start:end]


def _for_those_on_record(claim: Claim, ground: Ground) -> str:
    """What stands for the audiences on record: the first that has one of the two ahead, else the first."""
    told: list[str] = []
    for audience in ground.audiences:
        for a in claim.better[:1]:
            for b in claim.worse[:1]:
                question = Question(kind=Kind.AUDIENCE, first=a, other=b, says=None, audience=audience)
                found = question.asked(ground)
                if found is not None and found.would_stand is not None:
                    told.append(found.would_stand.told(ground.voice))
    return told[0] if told else ""


def _silent(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """No record shows silence; what stands is what was read of noise."""
    ground = reading.ground
    place, excerpt = place_of(claim.span, reading)
    asked = [
        Question(kind=Kind.NOISE, first=a, other=b, says=None, tests=claim.scope.tests)
        for a in claim.better for b in claim.worse
    ]  # fmt: skip
    told = [s for q in asked if (s := q.asked(ground)) is not None]
    would = next((s.would_stand for s in told if s.would_stand is not None), None)
    yield Objection(
        rule=Rule.CLAIM, place=place, excerpt=excerpt, reason=reading.rules.said["no_level"],
        taken_for=alone_words(reading.rules.said["silent"], reading), kind=Kind.NOISE,
        would_stand="" if would is None else would.told(ground.voice),
    )  # fmt: skip


def _price(claim: Claim, reading: Reading) -> Iterator[Objection]:
    """Cheaper or dearer than the prices on record say."""
    ground = reading.ground
    paid = {s: p.minor for s, p in ground.prices.items()}
    wrong = any(a in paid and b in paid and paid[a] >= paid[b] for a in claim.better for b in claim.worse)
    if not wrong:
        return
    place, excerpt = place_of(claim.span, reading)
    pair = (*claim.better, *claim.worse)
    prices = [ground.quotables.figures.get(f"price of {s}") for s in pair]
    yield Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, kind=None,
        reason=reading.rules.said["cheaper_contrary"], taken_for=taken_for(claim, reading),
        would_stand=listed(tuple(
            f"{ground.names.setup(p.setups[0])} {p.ranged}" for p in prices if p is not None
        )),
    )  # fmt: skip


BY_SAYS = {
    "everyone": _everyone, "silent": _silent, "cause": _cause, "leans": leaning, "steady": leaning,
    "neither": _neither, "apart": _apart,
}  # fmt: skip
"""Who judges a claim that is no comparison."""
