"""Noise, heat and power are told where they were read, and as they were."""

from dataclasses import replace

import pytest
from tests.verdicts.ladder_cases import (
    GAMES,
    backing,
    finding,
)

from evenhand.findings.finding import Caveat, Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.verdicts.beside import beside
from evenhand.verdicts.claims import Kind
from evenhand.verdicts.ladder import standing


@pytest.mark.parametrize("kind", [Kind.NOISE, Kind.HEAT, Kind.POWER])
def test_what_was_not_measured_is_not_said(kind):
    assert standing(kind, backing()).reason.told() == "not measured"


def test_noise_stands_on_its_own_evidence():
    gap = Gap(
        topic=Topic.SOUND, a="plover", b="dunlin", outcome=Outcome.AHEAD, margin=1.0,
        difference=-3.2, low=-4.1, high=-2.3,
    )  # fmt: skip
    made = backing(gaps=(gap,))
    found = standing(Kind.NOISE, made, says=Outcome.AHEAD)
    assert found.allowed
    assert found.would_stand is not None
    assert found.would_stand.told() == "At idle, plover is quieter than dunlin by 3.2 dB (2.3 to 4.1)."
    assert not standing(Kind.NOISE, made, says=Outcome.BEHIND).allowed


def test_evidence_that_was_refused_gives_its_own_reason():
    why = Caveat(key="in-the-room", words="reads too little above the room", setups=("plover",), each=True)
    gap = Gap(topic=Topic.SOUND, a="plover", b="dunlin", why=why)
    found = standing(Kind.NOISE, backing(gaps=(gap,)))
    assert found.reason.told() == "plover: reads too little above the room"


def test_power_over_all_tests_needs_all_of_them():
    draws = [replace(finding(t, Outcome.AHEAD), metric="wall_w", headline=False) for t in GAMES]
    assert standing(Kind.POWER, backing(power=tuple(draws)), says=Outcome.AHEAD).allowed
    draws[0] = replace(draws[0], outcome=Outcome.LEVEL)
    made = backing(power=tuple(draws))
    assert not standing(Kind.POWER, made, says=Outcome.AHEAD).allowed
    assert standing(Kind.POWER, made, tests=("weir",), says=Outcome.AHEAD).allowed


def test_watts_that_nobody_read_in_one_test_leave_no_sentence_on_all_of_them():
    draws = [replace(finding(t, Outcome.AHEAD), metric="wall_w", headline=False) for t in GAMES[:-1]]
    made = backing(power=tuple(draws))
    found = standing(Kind.POWER, made, says=Outcome.AHEAD)
    assert not found.allowed
    assert found.reason.told() == f"nobody read the watts in {GAMES[-1]}"
    assert found.would_stand is not None
    assert beside(made)[Kind.POWER][-1].told() == f"In {GAMES[-1]}, not measured."
    assert standing(Kind.POWER, made, tests=(GAMES[0],), says=Outcome.AHEAD).allowed


def test_watts_are_told_as_watts_and_not_as_a_better_ratio():
    """1.25 times as good is a fifth less."""
    draws = replace(finding("quay", Outcome.AHEAD, ratio=1.25, low=1.2, high=1.3), metric="wall_w")
    found = standing(Kind.POWER, backing(power=(draws,)))
    assert found.would_stand is not None
    told = found.would_stand.told()
    assert told == "In quay, plover draws less at the wall than dunlin, by 20 % (16.7 to 23.1)."


def test_a_machine_is_quieter_only_where_it_was_read_to_be():
    def read(test, outcome):
        return Gap(
            topic=Topic.SOUND, a="plover", b="dunlin", test=test, outcome=outcome, margin=1.0,
            difference=-3.0 if outcome is Outcome.AHEAD else 3.0, low=-4.0, high=-2.0,
        )  # fmt: skip

    made = backing(gaps=(read("", Outcome.AHEAD), read("quay", Outcome.BEHIND)))
    assert standing(Kind.NOISE, made, tests=("",), says=Outcome.AHEAD).allowed
    assert not standing(Kind.NOISE, made, says=Outcome.AHEAD).allowed


def test_heat_names_test_and_part():
    gap = Gap(
        topic=Topic.TEMPERATURE, a="plover", b="dunlin", test="quay", part="graphics", outcome=Outcome.BEHIND,
        difference=6.0, low=4.5, high=7.5, margin=2.0,
    )  # fmt: skip
    found = standing(Kind.HEAT, backing(gaps=(gap,)), about="graphics")
    assert found.would_stand is not None
    told = found.would_stand.told()
    assert told == (
        "In quay, at the same noise, the graphics of dunlin is cooler than that of plover "
        "by 6 K (4.5 to 7.5)."
    )
