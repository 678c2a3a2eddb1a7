"""Of three machines and more it is said first who is ahead of all others, and who the better value."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.verdicts.test_among import AHEAD, BEHIND, LEVEL, OPEN, said

from evenhand.findings.caveats import UNMEASURED
from evenhand.findings.finding import Caveat, Outcome
from evenhand.money.break_even import Value
from evenhand.publish.among_words import among_answer, among_lines, among_words, of_all_words
from evenhand.publish.names import Names, SetupName
from evenhand.records.audiences import Audience
from evenhand.verdicts.among import Among, among

NAMES = Names(
    setups={
        key: SetupName(name=key.title(), slot=i + 1) for i, key in enumerate(("wren", "plover", "dunlin"))
    },
    tests={},
)
PAIRS = [("wren", "plover"), ("wren", "dunlin"), ("plover", "dunlin")]
PLAY, EDIT, CALLS = (Audience(key=key, name=f"Mostly {key}") for key in ("play", "edit", "calls"))


def made(outcomes: tuple[Outcome, ...], values: tuple[Value, ...] = (Value.UNKNOWN,) * 3) -> Among:
    found = among([said(*p, o, v) for p, o, v in zip(PAIRS, outcomes, values, strict=True)], PAIRS)
    assert found is not None
    return found


BOTH, WREN = "Plover and Dunlin are level by value", "Wren is the better value beside every other"
FIRST = made((BEHIND, BEHIND, AHEAD), (Value.A, Value.A, Value.A))


@pytest.mark.parametrize(
    ("found", "told"),
    [
        (FIRST, "Plover is ahead of both others, but Wren is the better value beside every other"),
        (made((BEHIND, BEHIND, AHEAD)), "Plover is ahead of both others"),
        (
            made((BEHIND, BEHIND, AHEAD), (Value.B, Value.B, Value.A)),
            "Plover is ahead of both others, and the better value beside every other",
        ),
        (
            made((BEHIND, BEHIND, LEVEL), (Value.B, Value.B, Value.LEVEL)),
            f"Plover and Dunlin are level and ahead of Wren, and {BOTH} and better than the rest",
        ),
        (made((LEVEL, LEVEL, LEVEL)), "all three are level"),
        (made((OPEN, OPEN, OPEN)), "nobody is called ahead of another"),
        (made((BEHIND, OPEN, OPEN)), "nobody is ahead of Plover or Dunlin"),
        (made((BEHIND, BEHIND, OPEN)), "nobody is ahead of Plover or Dunlin"),
        (made((BEHIND, OPEN, AHEAD)), "Plover is ahead of both others"),
        (made((OPEN, BEHIND, AHEAD)), "nobody is ahead of Plover, nor is it ahead of all"),
        (made((AHEAD, BEHIND, AHEAD)), "each is behind another"),
        (
            made((BEHIND, BEHIND, AHEAD), (Value.A, Value.UNKNOWN, Value.UNKNOWN)),
            f"Plover is ahead of both others, but {WREN} of the two whose value is known",
        ),
    ],
)
def test_it_says_who_is_ahead_of_all_and_by_value(found: Among, told: str) -> None:
    assert among_words(found, NAMES) == told


def test_a_lead_that_may_be_too_small_or_hangs_on_a_bridge_says_over_whom() -> None:
    first, second, third = FIRST.verdicts
    small = among([replace(first, perhaps_small=True), second, replace(third, bridged_by=("dunlin",))], PAIRS)
    assert small is not None
    assert among_words(small, NAMES).startswith(
        "Plover is ahead of both others (over Wren perhaps too little to matter), bridged by Dunlin, but"
    )


def test_who_has_no_verdict_is_named() -> None:
    found = among(FIRST.verdicts, [*PAIRS, ("wren", "gull")])
    assert found is not None
    assert among_words(found, NAMES).endswith("; gull has no verdict")
    assert of_all_words(found) == "Of all four"


def test_the_answer_tells_the_first_audience_and_the_first_with_another_one_ahead() -> None:
    shade = made((BEHIND, BEHIND, AHEAD), (Value.B, Value.B, Value.A))
    other = made((AHEAD, AHEAD, AHEAD))
    said_first = (
        "Mostly play: Plover is ahead of both others, but Wren is the better value beside every other. "
    )
    told = among_answer([(PLAY, FIRST), (EDIT, shade), (CALLS, other)], NAMES)
    assert told == f"{said_first}Mostly calls: Wren is ahead of both others."
    same = among_answer([(PLAY, FIRST), (EDIT, shade)], NAMES)
    assert same == f"{said_first}Mostly edit: the same, but Plover is the better value beside every other."
    alike = among_answer([(PLAY, FIRST), (EDIT, FIRST)], NAMES)
    assert alike.endswith("beside every other, for both audiences alike.")
    assert among_answer([(PLAY, FIRST), (EDIT, FIRST)], NAMES, whole=False).endswith("has a verdict alike.")
    assert among_answer([(PLAY, other)], NAMES) == "Mostly play: Wren is ahead of both others."
    assert among_lines([(PLAY, FIRST), (EDIT, shade), (CALLS, FIRST)], NAMES)[0] == (
        "Mostly play and Mostly calls",
        "Plover is ahead of both others, but Wren is the better value beside every other.",
    )


def test_what_nobody_measured_follows_once() -> None:
    lacks = Caveat(key=UNMEASURED, words="half of the weight stands on {tests}", tests=("noise",))
    found = among([replace(v, caveats=(lacks,)) for v in FIRST.verdicts], PAIRS)
    assert found is not None
    assert among_answer([(PLAY, found)], NAMES).count("half of the weight stands on noise") == 1
