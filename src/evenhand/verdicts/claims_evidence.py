"""Sentences about noise, heat and power: each needs evidence of its own."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.findings.finding import Finding, Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.metrics.wall import WALL_POWER
from evenhand.verdicts.backing import (
    SIDES,
    Asked,
    Backing,
    bridged,
    from_caveat,
    of,
    pair_slots,
    reason,
    sentence,
)
from evenhand.verdicts.claim_words import WHERE_IDLE, WHERE_TEST
from evenhand.verdicts.claims import As, Rung, Said, Standing
from evenhand.verdicts.claims_measured import CONTRARY, refused, turned_lead

UNITS = {Topic.SOUND: As.DECIBELS, Topic.TEMPERATURE: As.KELVINS}


def noise_standing(asked: Asked, backing: Backing) -> Standing:
    """Which is quieter, in the tests named ("": idle) or in all that were read."""
    return _of_gaps(asked, _gaps(Topic.SOUND, asked, backing), backing)


def heat_standing(asked: Asked, backing: Backing) -> Standing:
    """Whose part (`about`) is cooler at the same noise, in the tests named or in all that were read."""
    found = [gap for gap in _gaps(Topic.TEMPERATURE, asked, backing) if gap.part == asked.about]
    return _of_gaps(asked, found, backing)


def power_standing(asked: Asked, backing: Backing) -> Standing:
    """Which draws less at the wall, in the tests named or in all that were compared, each one read."""
    own = watts_of(backing)
    unread = () if asked.tests else tests_unread(backing)
    if unread:
        would = next((said for f in own if (said := power_sentence(f, backing))), None)
        why = reason("power-unread", tests=of(As.TEST, *unread))
        return refused(asked, why, would=would, on=None if would is None else Rung.SCENE)
    found = [f for f in own if not asked.tests or f.test in asked.tests]
    told = [(f.outcome, power_sentence(f, backing)) for f in found]
    return _together(asked, told, tuple(f.test for f in found))


def watts_of(backing: Backing, metric: str = WALL_POWER) -> list[Finding]:
    """The pair's findings in watts, or in another number of what is read at the wall."""
    return [f for f in backing.power if (f.a, f.b) == (backing.a, backing.b) and f.metric == metric]


def tests_unread(backing: Backing) -> tuple[str, ...]:
    """The tests without watts where others have some; none where nobody read any."""
    read = {finding.test for finding in watts_of(backing)}
    return tuple(f.test for f in backing.findings if f.test not in read) if read else ()


def _gaps(topic: Topic, asked: Asked, backing: Backing) -> list[Gap]:
    own = [g for g in backing.gaps if g.topic is topic and (g.a, g.b) == (backing.a, backing.b)]
    return [gap for gap in own if not asked.tests or gap.test in asked.tests]


def _of_gaps(asked: Asked, found: Sequence[Gap], backing: Backing) -> Standing:
    lacking = [gap for gap in found if gap.why is not None]
    if lacking:  # one place without a number leaves the others as they are: their sentence stands
        first = lacking[0]
        why = from_caveat(first.why) if len(found) == 1 and first.why else placed_why(first)
        would = next((said for gap in found if (said := gap_sentence(gap, backing))), None)
        return refused(asked, why, would=would, on=None if would is None else Rung.SCENE)
    told = [(gap.outcome, gap_sentence(gap, backing)) for gap in found]
    return _together(asked, told, tuple(gap.test for gap in found))


def _together(
    asked: Asked, told: Sequence[tuple[Outcome, Said | None]], tests: tuple[str, ...]
) -> Standing:  # fmt: skip
    """One answer from several pieces of evidence: all must say the same; the first called one is told.

    Over more than one test such a sentence asks for the rung of these tests.
    """
    if not told:
        return refused(asked, reason("not-measured"))
    would = next((said for _, said in told if said is not None), None)
    outcomes, rung = {outcome for outcome, _ in told}, Rung.TESTS if len(told) > 1 else Rung.SCENE
    fits = len(outcomes) == 1 and asked.fits(told[0][0])
    if fits:
        why = reason("evidence-called")
    else:
        open_ones = len(outcomes) > 1 or Outcome.UNSETTLED in outcomes
        why = reason("evidence-unsettled") if open_ones else CONTRARY
    return Standing(
        kind=asked.kind, rung=rung, allowed=fits, reason=why, would_stand=would,
        stands_on=None if would is None else rung if fits else Rung.SCENE, tests=tests,
    )  # fmt: skip


def gap_sentence(gap: Gap, backing: Backing) -> Said | None:
    """What stands of a gap; None where nothing is called."""
    if gap.outcome not in SIDES or gap.difference is None:
        return None
    slots = {
        **pair_slots(backing),
        "margin": of(UNITS[gap.topic], gap.margin),
        UNITS[gap.topic].value: of(UNITS[gap.topic], abs(gap.difference), *ends_of(gap)),
    }
    if gap.topic is Topic.TEMPERATURE:
        slots["parts"] = of(As.PART, gap.part)
    key = "quieter" if gap.topic is Topic.SOUND else "cooler"
    return in_place(sentence(f"{key}-{SIDES[gap.outcome]}", **slots), gap)


def in_place(said: Said, gap: Gap) -> Said:
    """Words about a gap with the place in which it was read."""
    where = WHERE_TEST if gap.test else WHERE_IDLE
    slots = {**said.slots, "tests": of(As.TEST, gap.test)}
    return Said(key=said.key, words=said.words.replace("{where}", where), slots=slots)


def placed_why(gap: Gap) -> Said:
    """Why nothing is told of a gap, with its place, which is not that of the reason's own tests."""
    if gap.why is None:
        raise ValueError("a gap without a reason has a number")
    why, where = from_caveat(gap.why), "In {place}" if gap.test else WHERE_IDLE
    of_part = f" of the {gap.part}" if gap.part else ""
    slots = {**why.slots, "place": of(As.TEST, gap.test)}
    return Said(key=why.key, words=f"{where}, nothing is told{of_part}: {why.words}", slots=slots)


def ends_of(gap: Gap) -> tuple[float | None, float | None]:
    """The interval of the size of a difference, smaller end first."""
    if gap.low is None or gap.high is None or gap.difference is None:
        return None, None
    return (gap.low, gap.high) if gap.difference > 0 else (-gap.high, -gap.low)


def power_sentence(finding: Finding, backing: Backing, *, about: str = "power") -> Said | None:
    """What stands of watts: by how many per cent a draws less, or more; a better ratio is fewer watts.

    `about` "frame" tells it of joules a frame.
    """
    if finding.outcome not in SIDES:
        return None
    slots = {**pair_slots(backing), "tests": of(As.TEST, finding.test), "lead": turned_lead(finding)}
    return bridged(sentence(f"{about}-{SIDES[finding.outcome]}", **slots), finding.bridged_by)
