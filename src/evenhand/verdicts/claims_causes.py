"""Sentences that name a part as the cause."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.findings.cause import Cause, Sort
from evenhand.findings.cause import Standing as CauseStanding
from evenhand.findings.caveats import DOUBTED
from evenhand.findings.factors import NOT_ON_RECORD
from evenhand.findings.finding import Outcome
from evenhand.verdicts.backing import (
    SIDES,
    TURNED,
    Asked,
    Backing,
    bridged,
    of,
    pair_slots,
    reason,
    sentence,
)
from evenhand.verdicts.claim_words import RUNG_NAMES
from evenhand.verdicts.claims import As, Kind, Rung, RungAnswer, Said, Shown, Standing
from evenhand.verdicts.claims_measured import refused


def cause_standing(asked: Asked, backing: Backing) -> Standing:
    """That a kind of part (`about`) puts one ahead, in the tests named, or in all in which one is ahead.

    Every such test needs an effect of the part alone, told apart from all else, called, and going the way
    that is said (or that the test itself goes).
    """
    if backing.causes is None:
        return refused(asked, reason("cause-not-looked-at"))
    wanted = asked.tests or tuple(backing.called)
    if not wanted:
        return refused(asked, reason("cause-nothing-to-explain"))
    shown = {test: outcome for test, outcome in _effects(asked.about, backing).items() if outcome in TURNED}
    right = tuple(t for t in wanted if t in shown and shown[t] is _meant(t, asked, backing, shown[t]))
    would = _sentence(right or tuple(shown), shown, asked, backing)
    part = of(As.PART, asked.about)
    if len(right) == len(wanted):
        why = reason("cause-shown", parts=part, tests=of(As.TEST, *right))
        return Standing(
            kind=Kind.CAUSE, rung=Rung.CAUSE, allowed=True, reason=why, would_stand=would,
            stands_on=Rung.CAUSE, tests=right,
        )  # fmt: skip
    others = of(As.TEST, *(test for test in wanted if test not in right))
    if right:
        why = reason("cause-elsewhere", tests=of(As.TEST, *right), others=others)
    else:
        why = _why_not(asked.about, [t for t in wanted if t not in right], backing, shown)
    found = refused(asked, why, would=would or _joint(asked.about, backing), on=Rung.CAUSE if shown else None)
    return Standing(
        kind=found.kind, rung=found.rung, allowed=False, reason=why, would_stand=found.would_stand,
        stands_on=found.stands_on, tests=right,
    )  # fmt: skip


def _effects(part: str, backing: Backing) -> dict[str, Outcome]:
    """By test, the outcome of the effect of this part alone, where it is told apart from all else."""
    return {
        cause.test: cause.effect.outcome
        for cause in backing.causes or ()
        if cause.effect is not None and _is_alone(cause) and part in (cause.factors[0], "")
    }


def _is_alone(cause: Cause) -> bool:
    alone = cause.sort is Sort.EFFECT and cause.standing is CauseStanding.SHOWN and len(cause.changes) == 1
    return alone and not _doubted(cause)


def _doubted(cause: Cause) -> tuple[str, ...]:
    """Setups that this effect rests on and that were not what they were said to be."""
    caveats = cause.effect.caveats if cause.effect else ()
    return tuple(dict.fromkeys(c.setups[0] for c in caveats if c.key == DOUBTED))


def _meant(test: str, asked: Asked, backing: Backing, found: Outcome) -> Outcome:
    return asked.says or backing.called.get(test, found)


def _sentence(
    tests: Sequence[str], shown: dict[str, Outcome], asked: Asked, backing: Backing
) -> Said | None:  # fmt: skip
    """What stands of a part, for the tests in which it works one way."""
    if not tests:
        return None
    way = shown[tests[0]]
    alike = tuple(test for test in tests if shown[test] is way)
    slots = {**pair_slots(backing), "tests": of(As.TEST, *alike), "parts": of(As.PART, asked.about)}
    found = [finding for test in alike if (finding := backing.finding(test))]
    bridges = [machine for finding in found for machine in finding.bridged_by]
    return bridged(sentence(f"cause-{SIDES[way]}", **slots), bridges)


def _joint(part: str, backing: Backing) -> Said | None:
    """That several changes together make a difference, where that is all that is known."""
    bundles = [c for c in backing.causes or () if c.standing is CauseStanding.BUNDLED and part in c.factors]
    called = [c for c in bundles if c.effect and c.effect.outcome in TURNED and not _unread(c)]
    if not called:
        return None
    alike = tuple(c.test for c in called if c.factors == called[0].factors)
    return sentence("cause-joint", tests=of(As.TEST, *alike), parts=of(As.PART, *called[0].factors))


def _unread(cause: Cause) -> list[str]:
    """What may have changed with the rest, since a side is not on record."""
    return [change.factor for change in cause.changes if NOT_ON_RECORD in (change.low, change.high)]


def _why_not(part: str, tests: Sequence[str], backing: Backing, shown: dict[str, Outcome]) -> Said:
    """Why a part is no cause in any of these tests."""
    own = [c for c in backing.causes or () if c.test in tests and part in c.factors and c.sort is Sort.EFFECT]
    parts = of(As.PART, part)
    if not own:
        differs = any(part in c.factors for c in backing.causes or ())
        return (
            reason("cause-none") if differs or not backing.causes else reason("cause-same-part", parts=parts)
        )
    alone = [c for c in own if _is_alone(c)]
    if alone:
        where = of(As.TEST, *(c.test for c in alone))
        if any(c.test in shown for c in alone):
            return reason("cause-otherwise", tests=where, parts=parts)
        if any(c.effect is not None and c.effect.outcome is Outcome.LEVEL for c in alone):
            return reason("cause-small", tests=where, parts=parts, margin=of(As.SHARE, backing.margin))
        return reason("cause-unsettled", tests=where)
    return bundle_reason(own)


def bundle_reason(own: Sequence[Cause]) -> Said:
    """Why none of these names a part: what changed together with it, or what nobody wrote down."""
    bundled = [cause for cause in own if cause.standing is CauseStanding.BUNDLED]
    if bundled:
        names = dict.fromkeys(name for cause in bundled for name in cause.factors)
        maybe = dict.fromkeys(name for cause in bundled for name in _unread(cause))
        if maybe:
            return reason("cause-bundle-unread", others=of(As.PART, *maybe))
        return reason("cause-bundle", parts=of(As.PART, *names))
    doubted = dict.fromkeys(setup for cause in own for setup in _doubted(cause))
    if doubted:
        return reason("cause-doubted", setups=of(As.SETUP, *doubted))
    unread = [cause for cause in own if cause.standing is CauseStanding.UNREAD]
    setups = dict.fromkeys(setup for cause in unread for caveat in cause.caveats for setup in caveat.setups)
    return reason("cause-unread", setups=of(As.SETUP, *setups)) if setups else reason("cause-none")


def cause_rung(backing: Backing) -> RungAnswer:
    """Whether each test in which one is ahead has a part that is told apart and works that way."""
    called = backing.called
    if backing.causes is None:
        return _rung(Shown.NOT_SHOWN, reason("cause-not-looked-at"))
    if not called:
        return _rung(Shown.NOT_SHOWN, reason("cause-nothing-to-explain"))
    told = [
        c for c in backing.causes
        if _is_alone(c) and c.effect is not None and c.effect.outcome is called.get(c.test)
    ]  # fmt: skip
    tests = tuple(test for test in called if any(c.test == test for c in told))
    parts = of(As.PART, *dict.fromkeys(c.factors[0] for c in told))
    if not tests:
        return _rung(Shown.NOT_SHOWN, bundle_reason([c for c in backing.causes if c.sort is Sort.EFFECT]))
    if len(tests) == len(called):
        return _rung(Shown.SHOWN, reason("cause-whole", parts=parts), tests)
    return _rung(Shown.PARTLY, reason("cause-part", tests=of(As.TEST, *tests), parts=parts), tests)


def _rung(shown: Shown, why: Said, tests: tuple[str, ...] = ()) -> RungAnswer:
    return RungAnswer(rung=Rung.CAUSE, name=RUNG_NAMES[Rung.CAUSE], shown=shown, reason=why, tests=tests)
