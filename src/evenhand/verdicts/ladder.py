"""The claim ladder: how far beyond its runs a sentence may reach, decided by the record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from evenhand.findings.finding import Outcome
from evenhand.verdicts.backing import SIDES, Asked, Backing, check, counted, of, on_unsteady, reason
from evenhand.verdicts.claim_words import RUNG_NAMES
from evenhand.verdicts.claims import As, Kind, Ladder, Rung, RungAnswer, Said, Shown, Standing
from evenhand.verdicts.claims_beyond import (
    forecast_rung,
    forecast_standing,
    lasting_rung,
    lasting_standing,
)
from evenhand.verdicts.claims_causes import cause_rung, cause_standing
from evenhand.verdicts.claims_evidence import heat_standing, noise_standing, power_standing
from evenhand.verdicts.claims_first import superlative_standing
from evenhand.verdicts.claims_measured import MEASURED, audience_standing, index_standing

JUDGES: Mapping[Kind, Callable[[Asked, Backing], Standing]] = {
    **MEASURED,
    Kind.SUPERLATIVE: superlative_standing,
    Kind.CAUSE: cause_standing,
    Kind.FORECAST: forecast_standing,
    Kind.LASTING: lasting_standing,
    Kind.NOISE: noise_standing,
    Kind.HEAT: heat_standing,
    Kind.POWER: power_standing,
}


def standing(
    kind: Kind,
    backing: Backing,
    *,
    about: str = "",
    says: Outcome | None = None,
    tests: tuple[str, ...] = (),
) -> Standing:
    """How a sentence of this kind about the pair stands.

    `about` is the test (a test's result), the group (index, forecast; "" all tests), or the kind of part
    (cause, heat) that the sentence names; level, no difference and first of all take a test or a group, first
    of all also "noise" or "power". `says` is what it says of a over b, None for whatever was found; of value
    and other evidence, ahead means that a is better. `tests` narrows a cause, noise, heat or power to some
    tests ("": idle). Raises NotFound for a pair or test that the study has not.
    """
    asked = Asked(kind=kind, about=about, says=says, tests=tests)
    check(asked, backing)
    found = JUDGES[kind](asked, backing)
    return replace(found, would_stand=on_unsteady(found.would_stand, backing))


def ladder(backing: Backing) -> Ladder:
    """All five rungs of a pair, and of its audience where there is one.

    1: every test settled · 2: the audience's verdict is called, or the
    index over all tests where no audience was asked for · 3: each test
    in which one is ahead has a part that is told apart and works that way · 4: the interval for a title not
    tested clears no difference, or lies within the margin, in every group · 5: never yet. Partly names tests.
    Where 2 is not shown, nothing above it stands whole.
    """
    check(Asked(kind=Kind.INDEX), backing)
    rungs = (
        scene_rung(backing),
        tests_rung(backing),
        cause_rung(backing),
        forecast_rung(backing),
        lasting_rung(backing),
    )
    return Ladder(a=backing.a, b=backing.b, rungs=tuple(_over(rungs[1], each) for each in rungs))


def _over(tests: RungAnswer, answer: RungAnswer) -> RungAnswer:
    """An answer of a rung above `tests`, in part at most where that is not shown."""
    whole = answer.rung > tests.rung and answer.shown is Shown.SHOWN
    return replace(answer, shown=Shown.PARTLY) if whole and tests.shown is not Shown.SHOWN else answer


def scene_rung(backing: Backing) -> RungAnswer:
    """Whether every test is settled between the two."""
    settled = tuple(f.test for f in backing.findings if f.outcome in SIDES)
    if not settled:
        return _rung(Rung.SCENE, Shown.NOT_SHOWN, reason("scene-none"))
    tests = of(As.TEST, *settled)
    if len(settled) == len(backing.findings):
        return _rung(
            Rung.SCENE, Shown.SHOWN, reason("scene-whole", count=counted(len(settled), "test")), settled
        )
    return _rung(Rung.SCENE, Shown.PARTLY, reason("scene-part", tests=tests), settled)


def tests_rung(backing: Backing) -> RungAnswer:
    """Whether the audience's verdict is called; where no audience was asked for, the index over all tests."""
    if backing.without:
        return _rung(Rung.TESTS, Shown.NOT_SHOWN, _no_verdict(backing))
    judge, kind = (
        (index_standing, Kind.INDEX) if backing.verdict is None else (audience_standing, Kind.AUDIENCE)
    )
    found = judge(Asked(kind=kind), backing)
    return _rung(Rung.TESTS, Shown.SHOWN if found.allowed else Shown.NOT_SHOWN, found.reason)


def _no_verdict(backing: Backing) -> Said:
    """That the audience has no verdict, and where the index over all tests is called, that apart."""
    who = of(As.AUDIENCE, backing.without)
    index = backing.indexes.get("")
    if index is None or index.outcome not in SIDES:
        return reason("audience-none", audience=who)
    counts = {"count": counted(len(index.tests), "test"), "runs": counted(backing.runs(index.tests), "run")}
    return reason("audience-none-index", audience=who, **counts)


def _rung(rung: Rung, shown: Shown, why: Said, tests: tuple[str, ...] = ()) -> RungAnswer:
    return RungAnswer(rung=rung, name=RUNG_NAMES[rung], shown=shown, reason=why, tests=tests)
