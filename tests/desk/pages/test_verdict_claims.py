"""What may be published, as the page Verdict shows it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenhand.desk.pages.verdict_claims import claims_part
from evenhand.desk.verdict.claiming import Claims
from evenhand.verdicts.claim_words import RUNG_NAMES
from evenhand.verdicts.claims import Kind, Ladder, Rung, RungAnswer, Said, Shown


def claims(*, up_to: Rung, lead: bool) -> Claims:
    rungs = tuple(
        RungAnswer(
            rung=rung, name=RUNG_NAMES[rung], reason=Said(key="x", words="so it is"),
            shown=Shown.SHOWN if rung <= up_to else Shown.NOT_SHOWN,
        )
        for rung in Rung
    )  # fmt: skip
    ladder = Ladder(a="p", b="d", rungs=rungs)
    return Claims(ladder=ladder, publishable=(), refused=(), voice={}, lead=lead)


@pytest.mark.parametrize(
    ("up_to", "lead", "said"),
    [
        (Rung.TESTS, True, "This verdict stands on rung 2: these tests"),
        (Rung.CAUSE, True, "This verdict stands on rung 2: these tests"),
        (Rung.UNTESTED, False, "This verdict stands on rung 2: these tests"),
        (Rung.SCENE, False, "No verdict stands on these tests yet"),
    ],
)
def test_the_heading_tells_the_rung_of_the_verdicts_own_sentence(up_to: Rung, lead: bool, said: str) -> None:
    assert claims_part(claims(up_to=up_to, lead=lead)).heading == said


def test_without_a_verdict_no_rung_is_named_and_the_index_is_told_apart() -> None:
    made = replace(
        claims(up_to=Rung.SCENE, lead=True), without=True, apart=Said(key="x", words="Over two, a leads.")
    )
    part = claims_part(made)
    assert part.heading == "No verdict stands"
    assert part.apart == "The index over all tests stands by itself: “Over two, a leads.”"
    assert claims_part(claims(up_to=Rung.TESTS, lead=True)).apart == ""


def test_what_is_known_of_causes_in_single_tests_stands_beside_the_heading() -> None:
    assert claims_part(claims(up_to=Rung.CAUSE, lead=True)).causes == "Of causes in single tests: so it is."
    assert claims_part(claims(up_to=Rung.TESTS, lead=True)).causes == ""


def test_every_place_is_told_and_what_nobody_read_is_not_measured() -> None:
    told = {Kind.NOISE: (Said(key="x", words="At idle, one."), Said(key="x", words="In quay, other."))}
    noise, heat, power, energy = claims_part(replace(claims(up_to=Rung.TESTS, lead=True), beside=told)).beside
    assert noise.said == ("At idle, one.", "In quay, other.")
    assert heat.said == power.said == energy.said == ("Not measured.",)
