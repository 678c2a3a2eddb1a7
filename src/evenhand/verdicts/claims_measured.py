"""Sentences about what was measured: a test, an index, an audience, level, value."""

from __future__ import annotations

import math
from dataclasses import replace

from evenhand.findings.caveats import UNMEASURED
from evenhand.findings.finding import Finding, Index, Outcome
from evenhand.money.break_even import BreakEven, Value
from evenhand.verdicts.backing import (
    SIDES,
    Asked,
    Backing,
    bridged,
    counted,
    of,
    pair_slots,
    range_over,
    reason,
    sentence,
    speaks_of_b,
)
from evenhand.verdicts.claim_words import ABOVE, ASKS, BELOW, PERHAPS, WORTH_BRIDGED
from evenhand.verdicts.claims import As, Kind, Rung, Said, Slot, Standing
from evenhand.verdicts.verdict import Verdict

CONTRARY = reason("contrary")
VALUE_SIDES = {Value.A: Outcome.AHEAD, Value.B: Outcome.BEHIND, Value.LEVEL: Outcome.LEVEL}


def result_standing(asked: Asked, backing: Backing) -> Standing:
    """One test's result: its finding must be called."""
    finding = backing.finding(asked.about)
    if finding is None or not (finding.n_a and finding.n_b):
        return refused(asked, reason("test-not-run", tests=of(As.TEST, asked.about)))
    would = result_sentence(finding, backing)
    if finding.outcome is Outcome.UNSETTLED:
        return refused(asked, _why_unsettled(finding, asked, backing))
    why = reason("test-called") if asked.fits(finding.outcome) else CONTRARY
    return _as_found(asked, finding.outcome, why, would, on=Rung.SCENE)


def result_sentence(finding: Finding, backing: Backing) -> Said | None:
    """What stands of a test; None where nothing is called."""
    if finding.outcome not in SIDES:
        return None
    slots = {**pair_slots(backing), "tests": of(As.TEST, finding.test), "lead": front_lead(finding)}
    return _reserved(sentence(f"test-{SIDES[finding.outcome]}", **slots), finding)


def _why_unsettled(found: Finding, asked: Asked, backing: Backing) -> Said:
    """Why nothing is called: its interval, or what else is counted."""
    if found.low is None or found.high is None:
        return reason("test-bare")
    if found.low < 1 < found.high:
        ends = range_over(found.low, found.high, backing, behind=speaks_of_b(asked, found.ratio))
        return reason("test-unsettled", **ends, margin=of(As.SHARE, backing.margin))
    return reason("test-withheld")


def index_standing(asked: Asked, backing: Backing) -> Standing:
    """An index over all tests (""), or over a group."""
    index = backing.indexes.get(asked.about)
    if index is None:
        return refused(asked, reason("tests-few"))
    would = index_sentence(index, backing)
    if index.outcome is Outcome.UNSETTLED:
        return refused(asked, reason("tests-unsettled"), would=would, on=Rung.TESTS)
    why = tests_called(index, backing) if asked.fits(index.outcome) else CONTRARY
    return _as_found(asked, index.outcome, why, would, on=Rung.TESTS)


def tests_called(index: Index, backing: Backing) -> Said:
    """How much an index rests on."""
    runs = counted(backing.runs(index.tests), "run")
    return reason("tests-called", count=counted(len(index.tests), "test"), runs=runs)


def index_sentence(index: Index, backing: Backing) -> Said:
    """What stands of an index."""
    slots = {
        **pair_slots(backing), "count": counted(len(index.tests), "test"), "lead": front_lead(index),
        "group": of(As.GROUP, index.group),
    }  # fmt: skip
    over = "group" if index.group else "index"
    return _reserved(sentence(f"{over}-{SIDES.get(index.outcome, 'unsettled')}", **slots), index)


def audience_standing(asked: Asked, backing: Backing) -> Standing:
    """A verdict for an audience."""
    verdict = backing.verdict
    if verdict is None:
        return refused(asked, reason("no-audience"))
    would, who = audience_sentence(verdict, backing), of(As.AUDIENCE, verdict.audience)
    if verdict.outcome is Outcome.UNSETTLED:
        return refused(asked, reason("audience-unsettled", audience=who), would=would, on=Rung.TESTS)
    why = audience_called(verdict, backing) if asked.fits(verdict.outcome) else CONTRARY
    return _as_found(asked, verdict.outcome, why, would, on=Rung.TESTS)


def audience_called(verdict: Verdict, backing: Backing) -> Said:
    """How much a verdict rests on."""
    tests = {test for test, _ in verdict.shares if test}
    counts = {"count": counted(len(tests), "test"), "runs": counted(backing.runs(tests), "run")}
    return reason("audience-called", audience=of(As.AUDIENCE, verdict.audience), **counts)


def audience_sentence(verdict: Verdict, backing: Backing) -> Said:
    """What stands of a verdict."""
    slots = {
        **pair_slots(backing),
        "lead": front_lead(verdict),
        "audience": of(As.AUDIENCE, verdict.audience),
    }
    said = sentence(f"audience-{SIDES.get(verdict.outcome, 'unsettled')}", **slots)
    return _lacking(_reserved(said, verdict), verdict)


def _lacking(said: Said, verdict: Verdict) -> Said:
    """The same with what the audience weighs and nobody could tell, so that it is never quoted without."""
    for caveat in verdict.caveats:
        if caveat.key == UNMEASURED:
            words = f"{said.words.removesuffix('.')}; {caveat.words.replace('{tests}', '{lacking}')}."
            return replace(said, words=words, slots={**said.slots, "lacking": of(As.TEST, *caveat.tests)})
    return said


def _reserved(said: Said, found: Finding | Index | Verdict) -> Said:
    """The same, saying of a lead that it may be too small to matter if it may, and what bridges the two."""
    words = said.words.removesuffix(".") + PERHAPS if found.perhaps_small else said.words
    return bridged(replace(said, words=words), found.bridged_by)


def may_be_small(said: Said | None) -> bool:
    """Whether a sentence of the record says that its lead may be too small to matter."""
    return said is not None and PERHAPS.removesuffix(".") in said.words


def level_standing(asked: Asked, backing: Backing) -> Standing:
    """Level within the margin, in a test, a group, or for the audience (about "" where there is one)."""
    found, would = subject(asked, backing)
    if found is None:
        return refused(asked, reason("tests-few"))
    if found.outcome is Outcome.LEVEL:
        why = reason("test-called")
        return Standing(
            kind=asked.kind, rung=_rung(asked, backing), allowed=True, reason=why, would_stand=would,
            stands_on=_rung(asked, backing),
        )  # fmt: skip
    return refused(asked, _not_level(found, backing), would=would, on=_rung(asked, backing))


def no_difference_standing(asked: Asked, backing: Backing) -> Standing:
    """That nothing differs is never shown; at most, that it differs by less than the margin."""
    found, would = subject(asked, backing)
    margin = of(As.SHARE, backing.margin)
    if found is not None and found.outcome is Outcome.LEVEL:
        return refused(
            asked, reason("nothing-shows-none", margin=margin), would=would, on=_rung(asked, backing)
        )
    return refused(asked, reason("no-difference-no-level", margin=margin), would=would)


def subject(asked: Asked, backing: Backing) -> tuple[Finding | Index | Verdict | None, Said | None]:
    """The result that a sentence about level speaks of, and what stands of it."""
    finding = backing.finding(asked.about)
    if finding is not None:
        return finding, result_sentence(finding, backing)
    if not asked.about and backing.verdict is not None:
        return backing.verdict, audience_sentence(backing.verdict, backing)
    index = backing.indexes.get(asked.about)
    return index, None if index is None else index_sentence(index, backing)


def _rung(asked: Asked, backing: Backing) -> Rung:
    return Rung.SCENE if backing.finding(asked.about) is not None else ASKS[asked.kind]


def _not_level(found: Finding | Index | Verdict, backing: Backing) -> Said:
    if found.bound_low is None or found.bound_high is None:
        return reason("level-no-interval")
    behind = found.ratio is not None and found.ratio < 1
    ends = range_over(found.bound_low, found.bound_high, backing, behind=behind)
    return reason("level-not-shown", **ends, margin=of(As.SHARE, backing.margin))


def value_standing(asked: Asked, backing: Backing) -> Standing:
    """Value for money: dated prices of both, and a worth of the difference with a band."""
    verdict = backing.verdict
    if verdict is None:
        return refused(asked, reason("no-audience"))
    if verdict.bought:
        return refused(asked, reason("value-states", **pair_slots(backing)))
    if verdict.prices is None:
        return refused(asked, _no_price(backing))
    if not {backing.a, backing.b} <= set(backing.priced_on):
        return refused(asked, reason("value-no-date"))
    if verdict.value is Value.UNKNOWN or verdict.break_even is None:
        return refused(asked, reason("value-unknown"))
    if verdict.value is Value.LEVEL and (open_ := _value_open(verdict, verdict.break_even, backing)):
        return refused(asked, open_, on=Rung.TESTS)
    outcome, days = (
        VALUE_SIDES[verdict.value],
        of(As.DAY, backing.priced_on[backing.a], backing.priced_on[backing.b]),
    )
    key = "value-level" if outcome is Outcome.LEVEL else "value-shown"
    why = reason(key, days=days) if asked.fits(outcome) else CONTRARY
    return _as_found(
        asked, outcome, why, _value_sentence(verdict, verdict.break_even, backing, days), on=Rung.TESTS
    )


def _value_open(verdict: Verdict, even: BreakEven, backing: Backing) -> Said | None:
    """Why two that are not told apart by value may not be called level, where they may not."""
    ends = {"low": of(As.MONEY, even.low), "high": of(As.MONEY, even.high)}
    slots = {**pair_slots(backing), "audience": of(As.AUDIENCE, verdict.audience), **ends}
    return reason("value-open", **slots) if verdict.value_open else None


def _no_price(backing: Backing) -> Said:
    """Who has no price at all; where all have one, who has it in another currency only."""
    missing = [s for s in (backing.a, backing.b) if s not in backing.priced_on]
    nowhere = [s for s in missing if s not in backing.priced_elsewhere]
    if missing and not nowhere:
        return reason("value-elsewhere", setups=of(As.SETUP, *missing))
    return reason("value-no-price", setups=of(As.SETUP, *(nowhere or (backing.a, backing.b))))


def _value_sentence(verdict: Verdict, even: BreakEven, backing: Backing, days: Slot) -> Said:
    slots = {**pair_slots(backing), "audience": of(As.AUDIENCE, verdict.audience), "days": days}
    if verdict.value is Value.LEVEL:
        return bridged(sentence("value-level", **slots), verdict.bridged_by, words=WORTH_BRIDGED)
    better, other, side, end = (
        (backing.a, backing.b, BELOW, even.low and math.ceil(even.low))
        if verdict.value is Value.A
        else (backing.b, backing.a, ABOVE, even.high and math.floor(even.high))
    )
    made = sentence(
        "value", **slots, better=of(As.SETUP, better), other=of(As.SETUP, other), side=of(As.WORD, side),
        money=of(As.MONEY, end),
    )  # fmt: skip
    return bridged(made, verdict.bridged_by, words=WORTH_BRIDGED)


def lead(found: Finding | Index | Verdict) -> Slot:
    """A ratio with the interval that is shown."""
    return of(As.LEAD, found.ratio, found.low, found.high)


def front_lead(found: Finding | Index | Verdict) -> Slot:
    """The same of whoever is ahead, who is named first in every sentence."""
    return turned_lead(found) if found.outcome is Outcome.BEHIND else lead(found)


def turned_lead(found: Finding | Index | Verdict) -> Slot:
    """A ratio of b over a."""
    ends = (None if end is None else 1 / end for end in (found.ratio, found.high, found.low))
    return of(As.LEAD, *ends)


def refused(asked: Asked, why: Said, *, would: Said | None = None, on: Rung | None = None) -> Standing:
    """A sentence that may not be said."""
    return Standing(
        kind=asked.kind, rung=ASKS[asked.kind], allowed=False, reason=why, would_stand=would, stands_on=on
    )


def _as_found(asked: Asked, outcome: Outcome, why: Said, would: Said | None, *, on: Rung) -> Standing:
    return Standing(
        kind=asked.kind, rung=ASKS[asked.kind], allowed=asked.fits(outcome), reason=why, would_stand=would,
        stands_on=on,
    )  # fmt: skip


MEASURED = {
    Kind.TEST: result_standing,
    Kind.INDEX: index_standing,
    Kind.AUDIENCE: audience_standing,
    Kind.LEVEL: level_standing,
    Kind.NO_DIFFERENCE: no_difference_standing,
    Kind.VALUE: value_standing,
}
