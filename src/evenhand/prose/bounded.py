"""Leads that are said to be smaller than the margin: measured so where one is level and points that way."""

from __future__ import annotations

from evenhand.findings.finding import Outcome
from evenhand.prose.asked import Question, by_metric
from evenhand.prose.ground import Ground
from evenhand.prose.reading import SIDED, Claim, Reading
from evenhand.prose.signs import Named
from evenhand.verdicts.backing import Asked
from evenhand.verdicts.claims_measured import subject


def is_bounded(claim: Claim, reading: Reading) -> bool:
    """Whether a lead is said to be smaller than the margin, before the sentence comes to somebody else."""
    if claim.rule.says not in SIDED or claim.rule.of != "speed":
        return False
    later = [m.at for m in reading.sentence.of(Named.SETUP) if m.at > claim.span[1]]
    end = later[1] if len(later) > 1 else len(reading.sentence.text)
    return bool(reading.rules["scope.bounded"].search(reading.sentence.text, claim.clause, end))


def is_measured_within(question: Question, ground: Ground) -> bool:
    """Whether the first of a pair is measurably ahead, and by less than the margin."""
    backing, turned = ground.backing(question.first, question.other, question.audience)
    if backing is None:
        return False
    own = by_metric(backing, question.metric) if question.metric else backing
    found, _ = subject(Asked(kind=question.kind, about=question.about), own)
    if found is None or found.outcome is not Outcome.LEVEL or found.low is None or found.high is None:
        return False
    return found.high < 1 if turned else found.low > 1
