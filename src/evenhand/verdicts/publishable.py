"""What may be published of a pair and an audience, and what this study refuses to say of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.findings.cause import Standing as CauseStanding
from evenhand.findings.finding import Outcome
from evenhand.findings.gaps import Topic
from evenhand.verdicts.backing import TURNED, Asked, Backing, of, pair_slots
from evenhand.verdicts.claim_words import TEMPTING
from evenhand.verdicts.claims import As, Kind, Rung, Said, Slot, Standing
from evenhand.verdicts.ladder import standing

MOST_PARTS = 2  # told as tempting causes: a list of every part that differs would hide the rest


@dataclass(frozen=True, slots=True, kw_only=True)
class Sentence:
    """A sentence about the pair, and how it stands."""

    said: Said
    standing: Standing

    @property
    def rung(self) -> Rung:
        """The rung that it stands on, or asks for in vain."""
        return self.standing.rung


def publishable(backing: Backing) -> tuple[Sentence, ...]:
    """Every sentence that the record bears: for the audience first, then indexes, causes, evidence, tests."""
    found = (standing(a.kind, backing, about=a.about, says=a.says, tests=a.tests) for a in _borne(backing))
    allowed = ((s.would_stand, s) for s in found if s.allowed)
    told = {s.words + repr(s.slots): Sentence(said=s, standing=how) for s, how in allowed if s is not None}
    return tuple(told.values())


def refusals_of(backing: Backing) -> tuple[Sentence, ...]:
    """What somebody may be tempted to say of the pair, and the record does not bear, dearest rung first.

    Whoever is in front over all tests is praised in them; a sentence that the record does bear is not here.
    """
    tempting = [
        (said, standing(a.kind, backing, about=a.about, says=a.says)) for said, a in _tempting(backing)
    ]
    refused = [Sentence(said=said, standing=how) for said, how in tempting if not how.allowed]
    return tuple(sorted(refused, key=lambda one: -one.rung))


def _borne(backing: Backing) -> Iterator[Asked]:
    """All that could be said, as it was found."""
    yield from (Asked(kind=kind) for kind in (Kind.AUDIENCE, Kind.VALUE))
    yield from (Asked(kind=Kind.SUPERLATIVE, says=says) for says in TURNED)
    yield from (Asked(kind=Kind.INDEX, about=group) for group in backing.indexes)
    yield from (Asked(kind=Kind.FORECAST, about=group) for group in backing.indexes)
    yield from _causes(backing)
    yield from _evidence(backing)
    yield from (Asked(kind=Kind.TEST, about=f.test) for f in backing.findings)


def _causes(backing: Backing) -> Iterator[Asked]:
    """A sentence for each part and way in which it works, over the tests where it does."""
    all_tests = tuple(f.test for f in backing.findings)
    for part in dict.fromkeys(f for cause in backing.causes or () for f in cause.factors):
        for says in (Outcome.AHEAD, Outcome.BEHIND):
            tests = standing(Kind.CAUSE, backing, about=part, says=says, tests=all_tests).tests
            if tests:
                yield Asked(kind=Kind.CAUSE, about=part, says=says, tests=tests)


def _evidence(backing: Backing) -> Iterator[Asked]:
    for gap in backing.gaps:
        if (gap.a, gap.b) == (backing.a, backing.b):
            if gap.topic is Topic.SOUND:
                yield Asked(kind=Kind.NOISE, tests=(gap.test,))
            else:
                yield Asked(kind=Kind.HEAT, about=gap.part, tests=(gap.test,))
    for test in dict.fromkeys(f.test for f in backing.power if (f.a, f.b) == (backing.a, backing.b)):
        yield Asked(kind=Kind.POWER, tests=(test,))


def _tempting(backing: Backing) -> Iterator[tuple[Said, Asked]]:
    """Sentences that reach for every rung and every kind of evidence, about whoever is in front."""
    ratio = backing.verdict.ratio if backing.verdict else _ratio_over_all(backing)
    says = _ahead(ratio)
    yield _words("lasting", backing, says), Asked(kind=Kind.LASTING)
    yield _words("no-difference", backing, says), Asked(kind=Kind.NO_DIFFERENCE)
    for key, kind in _PRAISE.items():
        yield _words(key, backing, says), Asked(kind=kind, says=says)
    if backing.verdict is not None:
        who = of(As.AUDIENCE, backing.verdict.audience)
        yield _words("audience", backing, says, audience=who), Asked(kind=Kind.AUDIENCE, says=says)
    yield from _of_groups(backing)
    yield from _of_parts(backing, says)


_PRAISE = {
    "superlative": Kind.SUPERLATIVE,
    "value": Kind.VALUE,
    "noise": Kind.NOISE,
    "power": Kind.POWER,
}


def _ahead(ratio: float) -> Outcome:
    """Who is in front by anything at all."""
    return Outcome.BEHIND if ratio < 1 else Outcome.AHEAD


def _ratio_over_all(backing: Backing) -> float:
    index = backing.indexes.get("")
    return index.ratio if index else 1.0


def _words(key: str, backing: Backing, says: Outcome, **more: Slot) -> Said:
    front = of(As.SETUP, backing.b if says is Outcome.BEHIND else backing.a)
    return Said(key=key, words=TEMPTING[key], slots={**pair_slots(backing), "front": front, **more})


def _of_groups(backing: Backing) -> Iterator[tuple[Said, Asked]]:
    """What the index of each group tempts to say of all titles of its sort."""
    for group in [group for group in backing.indexes if group] or backing.indexes:
        index = backing.indexes[group]
        level = index.outcome is Outcome.LEVEL
        says = Outcome.LEVEL if level else _ahead(index.ratio)
        key = "forecast-level" if level else "forecast"
        said = _words(key, backing, _ahead(index.ratio), group=of(As.GROUP, group))
        yield said, Asked(kind=Kind.FORECAST, about=group, says=says)


def _of_parts(backing: Backing, says: Outcome) -> Iterator[tuple[Said, Asked]]:
    """That a part is behind it all: of the first few parts that differ, how runs were made being none."""
    asked = (cause for cause in backing.causes or () if cause.standing is not CauseStanding.BESIDE)
    parts = list(dict.fromkeys(f for cause in asked for f in cause.factors))
    for part in parts[:MOST_PARTS]:
        said = _words("cause", backing, says, parts=of(As.PART, part))
        yield said, Asked(kind=Kind.CAUSE, about=part, says=says)
