"""What else was measured is told place by place, whatever another place says."""

from __future__ import annotations

from dataclasses import replace

from tests.verdicts.ladder_cases import backing, finding

from evenhand.findings.finding import Caveat, Finding, Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.verdicts.beside import FRAMES, beside
from evenhand.verdicts.claims import Kind
from evenhand.verdicts.ladder import standing

ROOM = Caveat(key="in-the-room", words="reads too little above the room", setups=("plover",), each=True)
NOBODY = Caveat(key="not-read", words="nobody read its level", setups=("plover", "dunlin"), each=True)
IDLE = Gap(topic=Topic.SOUND, a="plover", b="dunlin", why=ROOM)
OPEN = Gap(topic=Topic.SOUND, a="plover", b="dunlin", test="quay", difference=0.8, low=0.24, high=1.35)
CALLED = replace(OPEN, test="weir", outcome=Outcome.AHEAD, difference=-3.2, low=-4.1, high=-2.3)


def told(*gaps: Gap, kind: Kind = Kind.NOISE) -> tuple[str, ...]:
    return tuple(said.told() for said in beside(backing(gaps=gaps))[kind])


def test_a_refusal_in_one_place_is_told_of_that_place_alone() -> None:
    assert told(IDLE, OPEN, CALLED) == (
        "In weir, plover is quieter than dunlin by 3.2 dB (2.3 to 4.1).",
        "In quay, not settled: dunlin reads quieter than plover by 0.8 dB (0.24 to 1.35).",
        "At idle, nothing is told: plover: reads too little above the room.",
    )


def test_what_nobody_read_anywhere_is_not_told_place_by_place() -> None:
    unread = replace(IDLE, why=NOBODY)
    assert told(unread) == ()
    assert told(unread, CALLED)[1] == "At idle, not measured."


def test_one_side_that_nobody_read_is_named() -> None:
    one = replace(IDLE, why=replace(NOBODY, setups=("plover",)))
    assert told(one) == ("At idle, nothing is told: plover: nobody read its level.",)


def test_a_reading_whose_spread_is_not_known_is_told_as_not_settled() -> None:
    (said,) = told(replace(OPEN, difference=-0.8, low=None, high=None))
    assert said == "In quay, not settled: plover reads quieter than dunlin by 0.8 dB."


def test_heat_that_may_not_be_told_says_why_and_of_which_part() -> None:
    why = Caveat(key="no-overlap", words="no levels in common")
    heat = Gap(topic=Topic.TEMPERATURE, a="plover", b="dunlin", part="graphics", why=why)
    assert told(heat, kind=Kind.HEAT) == ("At idle, nothing is told of the graphics: no levels in common.",)


def test_watts_that_are_not_settled_are_told_with_their_range() -> None:
    draws = replace(finding("quay", Outcome.UNSETTLED, ratio=1.0, low=0.98, high=1.02), metric="wall_w")
    said, unread = beside(backing(power=(draws,)))[Kind.POWER]
    assert unread.told().endswith(", not measured."), "of the tests whose watts nobody read"
    assert said.told() == "In quay, not settled: plover draws −1.96 to +2.04 % at the wall beside dunlin."


def test_a_sentence_over_every_place_names_the_place_that_refuses_it() -> None:
    found = standing(Kind.NOISE, backing(gaps=(IDLE, CALLED)), says=Outcome.AHEAD)
    assert not found.allowed
    assert found.reason.told() == "At idle, nothing is told: plover: reads too little above the room"
    assert found.would_stand is not None
    assert found.would_stand.told() == "In weir, plover is quieter than dunlin by 3.2 dB (2.3 to 4.1)."


def energy(test: str, outcome: Outcome, ratio: float) -> Finding:
    found = finding(test, outcome, ratio=ratio, low=ratio - 0.02, high=ratio + 0.02)
    return replace(found, metric="joules_per_frame")


def frames(*power: Finding, framed: tuple[str, ...] = ()) -> tuple[str, ...]:
    made = replace(backing(power=power), framed=frozenset(framed))
    return tuple(said.told() for said in beside(made)[FRAMES])


def test_energy_for_each_frame_is_told_beside_watts_whatever_these_say() -> None:
    draws = replace(finding("quay", Outcome.BEHIND, ratio=0.95, low=0.94, high=0.96), metric="wall_w")
    takes = energy("quay", Outcome.AHEAD, 1.25)
    made = beside(backing(power=(draws, takes)))
    assert made[Kind.POWER][0].told().startswith("In quay, plover draws more at the wall than dunlin")
    (said,) = made[FRAMES]
    assert (
        said.told() == "In quay, plover takes less energy for each frame than dunlin, by 20 % (18.7 to 21.3)."
    )


def test_energy_that_is_level_or_open_is_told_so() -> None:
    level, more = energy("quay", Outcome.LEVEL, 1.0), energy("weir", Outcome.BEHIND, 0.8)
    loose = energy("mole", Outcome.UNSETTLED, 1.0)
    bare = replace(loose, low=None, high=None)
    said = frames(level, more, loose, bare)
    assert said[0] == "In quay, plover and dunlin take the same energy for each frame within 3 %."
    assert said[1].startswith("In weir, plover takes more energy for each frame than dunlin, by 25 %")
    assert (
        said[2] == "In mole, not settled: plover takes −1.96 to +2.04 % energy for each frame beside dunlin."
    )
    assert said[3] == "In mole, not settled: no spread is known of what a frame takes on plover and dunlin."


def test_a_test_with_frames_and_without_watts_has_no_energy_measured_and_a_score_never_has() -> None:
    first, *others = [found.test for found in backing().findings]
    said = frames(energy(first, Outcome.AHEAD, 1.25), framed=(first, others[0]))
    assert said[1:] == (f"In {others[0]}, not measured.",)
    assert frames(framed=(first,)) == ()
