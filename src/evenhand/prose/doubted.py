"""Leads that a sentence calls perhaps too small to matter, where the record has no such doubt any more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from evenhand.prose.asked import questions
from evenhand.prose.judging import refusal
from evenhand.prose.objection import Objection
from evenhand.prose.reading import SIDED, Claim, Reading
from evenhand.prose.spoken import place_of
from evenhand.verdicts.claims import Standing
from evenhand.verdicts.claims_measured import may_be_small


def doubted(reading: Reading, claims: tuple[Claim, ...]) -> Iterator[Objection]:
    """Words that a lead may be too small to matter, beside leads that all are larger than the margin."""
    found = reading.rules["size.doubted"].search(reading.sentence.text)
    leads = [c for c in claims if c.rule.says in SIDED and c.rule.of == "speed" and not c.denied]
    if found is None or not leads:
        return
    told = [(claim, standing) for claim in leads for standing in _standings(claim, reading)]
    if told and all(each.allowed and not may_be_small(each.would_stand) for _, each in told):
        claim, standing = told[0]
        place, excerpt = place_of(found.span(), reading)
        wrong = refusal(claim, reading, standing)
        yield replace(
            wrong, place=place, excerpt=excerpt, reason=reading.rules.said["doubted_not"], taken_for=""
        )


def _standings(claim: Claim, reading: Reading) -> Iterator[Standing]:
    asked = (question.asked(reading.ground) for question in questions(claim, reading.ground))
    return (each for each in asked if each is not None)
