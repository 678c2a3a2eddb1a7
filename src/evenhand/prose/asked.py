"""How the ladder is asked whether a claim stands: which pair, which kind, about what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from evenhand.findings.finding import Outcome
from evenhand.metrics.wall import FRAME_ENERGY
from evenhand.prose.ground import NOBODY, Ground, oriented
from evenhand.prose.reading import ALIKE, Claim
from evenhand.prose.scopes import Scope
from evenhand.verdicts.backing import Backing
from evenhand.verdicts.claims import Kind, Standing
from evenhand.verdicts.ladder import standing

OTHER = {"noise": Kind.NOISE, "heat": Kind.HEAT, "power": Kind.POWER}
SAYS = {"level": Outcome.LEVEL, "same": Outcome.LEVEL}


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question to the ladder: the kind, of which pair, before which audience, by which number."""

    kind: Kind
    first: str
    other: str
    says: Outcome | None = Outcome.AHEAD
    about: str = ""
    tests: tuple[str, ...] = ()
    audience: str = NOBODY
    metric: str = ""

    def asked(self, ground: Ground) -> Standing | None:
        """How it stands; None where the record has no such pair."""
        backing, turned = ground.backing(self.first, self.other, self.audience)
        if backing is None:
            return None
        own = by_metric(backing, self.metric) if self.metric else backing
        if not own.findings:
            return None
        return standing(
            self.kind, own, about=self.about, says=oriented(self.says, turned=turned), tests=self.tests
        )


def by_metric(backing: Backing, metric: str) -> Backing:
    """The same with another number in the place of the headline one; over several tests nothing joins it."""
    every = backing.power if metric == FRAME_ENERGY else backing.comparison.findings
    own = tuple(replace(f, headline=True) for f in every if f.metric == metric)
    comparison = replace(backing.comparison, findings=own, indexes=())
    return replace(backing, comparison=comparison, verdict=None)


def questions(claim: Claim, ground: Ground) -> Iterator[Question]:
    """Everything that has to stand for a claim to stand."""
    says = claim.rule.says
    if says in ALIKE:
        for a, b in combinations(claim.better, 2):
            yield from _alike(claim, a, b, ground)
    elif says in ("first", "last"):
        yield from _first(claim, ground)
    else:
        for a in claim.better:
            for b in claim.worse:
                if a != b:
                    yield from _sided(claim, a, b, ground)


def _alike(claim: Claim, a: str, b: str, ground: Ground) -> Iterator[Question]:
    of, scope = claim.rule.of, claim.scope
    if of in OTHER or of == "value":
        yield from _sided(claim, a, b, ground, says=Outcome.LEVEL)
        return
    kind = Kind.NO_DIFFERENCE if claim.rule.says == "same" and not claim.within else Kind.LEVEL
    metric = FRAME_ENERGY if of == "energy" else scope.metric
    for about in _abouts(scope, metric, ground):
        audience = scope.audience if about == "" and not scope.group else NOBODY
        yield Question(
            kind=kind, first=a, other=b, says=None, about=about, audience=audience, metric=metric
        )  # fmt: skip


def _abouts(scope: Scope, metric: str, ground: Ground) -> tuple[str, ...]:
    """What level is asked about: tests one by one, or a group; by another number always tests."""
    if scope.tests:
        return scope.tests
    return ground.group_tests(scope.group) if metric else (scope.group,)


def _first(claim: Claim, ground: Ground) -> Iterator[Question]:
    """First of all: asked as such where the ladder has it, pair by pair elsewhere."""
    of, scope = claim.rule.of, claim.scope
    whole = {"speed": True, "energy": True, "noise": not scope.tests, "power": not scope.tests}.get(of, False)
    if claim.rule.says == "last" or claim.of_two or scope.audience or not whole:
        for a in claim.better:
            for b in claim.worse:
                yield from _sided(claim, a, b, ground)
        return
    metric = FRAME_ENERGY if of == "energy" else scope.metric
    abouts = (OTHER[of].value,) if of in OTHER else _abouts(scope, metric, ground)
    for a in claim.better:
        for other in [s for s in ground.setups if s != a][:1]:  # any other: the ladder looks at all
            for about in abouts:
                yield Question(kind=Kind.SUPERLATIVE, first=a, other=other, about=about, metric=metric)


def _sided(
    claim: Claim, a: str, b: str, ground: Ground, *, says: Outcome = Outcome.AHEAD
) -> Iterator[Question]:
    """One better than the other."""
    of, scope, kind = claim.rule.of, claim.scope, claim.rule.says
    base = Question(kind=Kind.TEST, first=a, other=b, says=says)
    if kind == "lasting":
        yield replace(base, kind=Kind.LASTING, says=None)
    elif kind == "forecast":
        yield replace(base, kind=Kind.FORECAST, about=scope.group)
    elif of == "value":
        for audience in (scope.audience,) if scope.audience else tuple(ground.audiences) or (NOBODY,):
            yield replace(base, kind=Kind.VALUE, audience=audience)
    elif of == "heat":
        for part in claim.parts or parts_read(ground, a, b):
            yield replace(base, kind=Kind.HEAT, about=part, tests=scope.tests or _of_group(scope, ground))
    elif of in OTHER:
        yield replace(base, kind=OTHER[of], tests=scope.tests or _of_group(scope, ground))
    elif of != "price":
        yield from _by_speed(claim, base, ground)


def _by_speed(claim: Claim, base: Question, ground: Ground) -> Iterator[Question]:
    scope = claim.scope
    metric = FRAME_ENERGY if claim.rule.of == "energy" else scope.metric
    if scope.tests or metric:
        for test in scope.tests or ground.group_tests(scope.group):
            yield replace(base, kind=Kind.TEST, about=test, metric=metric)
    elif scope.audience:
        yield replace(base, kind=Kind.AUDIENCE, audience=scope.audience)
    else:
        yield replace(base, kind=Kind.INDEX, about=scope.group)


def _of_group(scope: Scope, ground: Ground) -> tuple[str, ...]:
    """The tests of the group that is spoken of; none stands for all that were read."""
    return ground.group_tests(scope.group) if scope.group else ()


def parts_read(ground: Ground, a: str, b: str) -> tuple[str, ...]:
    """The kinds of part whose temperature was read of a pair; one that stands for all where none was."""
    backing, _ = ground.backing(a, b)
    read = [] if backing is None else [g.part for g in backing.gaps if g.part and {g.a, g.b} == {a, b}]
    return tuple(dict.fromkeys(read)) or ("",)
