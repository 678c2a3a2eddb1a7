"""Sentences on tuned parts: hours and bounds are held against the trials, and bare words are objected to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from tests.prose.conftest import Check

from evenhand.findings.finding import Comparison
from evenhand.prose.checking import check
from evenhand.prose.ground import Ground
from evenhand.prose.material import Material
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.quoted_tuning import tuning
from evenhand.prose.rules import rules
from evenhand.prose.script import parse
from evenhand.publish.tuning.claims import claim_words, may_words
from evenhand.publish.tuning.gain import CARE
from evenhand.publish.tuning.words import point_words
from evenhand.stats.counts import most_of_rate
from evenhand.tuning.claims import Against, Claim
from evenhand.tuning.held import Held

PLACE: Mapping[str, Any] = {
    "setup": "plover-mild",
    "part": "processor",
    "load": "integers",
    "stock": (4500.0, 1150.0),
}
DAY = Claim(hours=24.0, failures=0, trials=3, rooms_c=(23.3, 24.5), unread_rooms=0, most_per_h=0.12482)
HOUR = Claim(hours=1.2, failures=2, trials=3, rooms_c=(24.0, 24.0), unread_rooms=0, most_per_h=5.246)
HELD = (
    Held(**PLACE, clock_mhz=4650.0, voltage_mv=1245.0, told=True, claim=DAY),
    Held(**PLACE, clock_mhz=4650.0, voltage_mv=1190.0, claim=HOUR),
)
INSTEAD = (
    "4,650\u00a0MHz at 1,245\u00a0mV: no failure in 24\u00a0h of integers at 23 to 24\u00a0°C, "
    "at 95\u00a0% fewer than one in 8\u00a0h"
)


@pytest.fixture(scope="module")
def tried(ground: Ground) -> Ground:
    """The example's ground with these trials on record, whatever else was tried."""
    none = Comparison(study="saltmarsh", findings=(), indexes=(), margin=0.03)
    material = Material(comparison=none, names=ground.names, held=HELD)
    figures = {**ground.quotables.figures, **{each.address: each for each in tuning(material)}}
    return replace(ground, held=HELD, quotables=replace(ground.quotables, figures=figures))


@pytest.fixture
def checked(tried: Ground) -> Check:
    own = rules()
    return lambda text: check(parse(text, abbreviations=own.abbreviations), tried, own)


@pytest.mark.parametrize(
    "sentence",
    [
        "Plover's processor had no failure in 24 hours of integers at 24 degrees.",
        "No failure in twenty-four hours of integers at 23 to 24 degrees.",
        "In 24 h of integers at 24 °C there was no failure; at 95 % that is fewer than one in 8 h.",
        "Not a single error in a full day of integers at 4.65 GHz and 1.245 volts.",
        "Plover's tuned processor held 20 hours of integers without a crash.",
        "At 95 % fewer than one failure in 8 hours.",
        "Plover's processor runs at 4,650 MHz and 1,245 mV.",
        "It held {hours of plover by processor under integers} of integers.",
        "It may be called: {claim of plover by processor under integers}.",
        "276 hours more without a failure would show fewer than one in 100 hours.",
        "Two failures in 1.2 hours of integers at 1,190 mV.",
        "Plover's tuned processor survived 24 hours of integers.",
        "Plover's processor held 23 h 50 min of integers without a failure.",
        "At 95 % Plover's processor fails less than once in 8 hours of integers.",
        "We are 95 % sure that Plover's processor fails less often than once in 8 hours.",
        "Plover's processor fails at most once in five hours.",
        "It ran for 24 hours without a failure.",
        "We publish at most once a month.",
        "The meter crashes less than once a month.",
        "It took 100 hours, and nothing failed.",
        "Set yours by its own trials, not by ours.",
        "Do not set yours to 1,245 mV.",
        "You can use these settings in the game.",
        "Never go past the limit of 1,325 mV.",
        "If you go past the limit of 1,325 mV, that is your own risk.",
        "Undervolting can void your warranty.",
        "Tuning is not without risk.",
        "Tuning is no harmless thing.",
        "Nobody calls tuning risk-free.",
        "Plover's processor held 23 hours and 50 minutes of integers without a failure.",
        "No failure in 24 hours, eight hours in each of three trials of Plover's processor.",
        "Plover's tuned processor is not certified by anybody.",
        "Nothing here is guaranteed: tuning is of one chip.",
        "I never said that the overclock is safe.",
        "Safe is no word for an overclock that anyone should use.",
        "It is safe to say that Plover's processor had no failure in 24 hours of integers.",
        "Do not copy these settings to your own processor.",
        "Your own processor will have another edge.",
        "Is it stable?",
        "We saw no crash in three days.",
        "I will not call it stable.",
        "Nobody can say that Plover's processor is stable.",
    ],
)
def test_what_the_trials_bear_stands(checked: Check, sentence: str) -> None:
    assert checked(sentence) == ()


@pytest.mark.parametrize(
    ("sentence", "figure"),
    [
        ("Plover's processor had no failure in 48 hours of integers at 24 degrees.", "48 hours"),
        ("No failure in two days of integers.", "two days"),
        ("Plover's processor held 24 h 10 min of integers without a failure.", "24 h 10 min"),
        ("No failure in 24 hours and 30 minutes of integers.", "24 hours and 30 minutes"),
        ("Plover's tuned processor survived 30 hours of integers.", "30 hours"),
        ("No failure in a day and two hours of integers.", "a day and two hours"),
        ("No failure in 1 day 2 h 5 min of integers.", "1 day 2 h 5 min"),
        ("Plover's processor had no failure in 24 hours at 35 degrees.", "24 hours"),
        ("No failure in 24 hours of integers at 4.7 GHz.", "24 hours"),
        ("No failure in 24 hours of integers at 1,150 mV.", "24 hours"),
        ("Not a single crash in 24 hours of gaming.", "24 hours"),
        ("One failure in 1.2 hours of integers at 1,190 mV.", "1.2 hours"),
        ("Two failures in 24 hours of integers.", "24 hours"),
        (
            "In 24 h of integers there was no failure; at 95 % fewer than one in 80 h.",
            "fewer than one in 80 h",
        ),
        ("Fewer than one failure in 800 hours.", "Fewer than one failure in 800 hours"),
        (
            "Plover's processor fails less often than once in 100 hours of integers.",
            "less often than once in 100 hours",
        ),
        ("Plover's processor fails less than once in 100 hours.", "less than once in 100 hours"),
        (
            "Plover's processor at 4,650 MHz fails at most once in 1,000 hours.",
            "at most once in 1,000 hours",
        ),
        ("Plover's processor crashes less than once a month.", "less than once a month"),
        ("Plover's processor errs no more than once in two weeks.", "no more than once in two weeks"),
        ("Plover's processor has at most one crash a day.", "at most one crash a day"),
        ("Plover's processor hangs less than once in three years.", "less than once in three years"),
        ("At 95 % it fails less than once in 100 hours.", "less than once in 100 hours"),
        ("It ran for 100 hours without a failure.", "100 hours"),
        ("Plover's processor at 4,650 MHz held a full week.", "a full week"),
        ("Plover's processor ran a whole month without a failure.", "a whole month"),
    ],
)  # fmt: skip
def test_what_they_do_not_bear_is_objected_to_with_what_they_do(
    checked: Check, sentence: str, figure: str
) -> None:
    (found,) = checked(sentence)
    assert (found.rule, found.excerpt, found.would_stand) == (Rule.CONTRARY_NUMBER, figure, INSTEAD)


@pytest.mark.parametrize(
    ("sentence", "word"),
    [
        ("Plover's processor is stable at 4,650 MHz.", "stable"),
        ("Plover is rock solid at these clocks.", "rock solid"),
        ("The tuned processor is error-free.", "error-free"),
        ("The tune is proven.", "proven"),
        ("The overclock is completely stable.", "completely stable"),
        ("Plover's processor runs at 4,650 MHz. It is fully stable.", "fully stable"),
        ("The processor never crashed.", "never crashed"),
        ("Plover's processor is stably tuned.", "stably"),
        ("Plover's processor has no problems at 4,650 MHz.", "no problems"),
        ("The tuned processor ran with no errors.", "no errors"),
        ("Plover's tuned processor ran without errors.", "without errors"),
        ("The tune holds: rock solid, 24 hours of integers without an error.", "rock solid"),
        ("The overclock is certified.", "certified"),
        ("Plover's processor is guaranteed to hold.", "guaranteed"),
        ("Plover's tuned processor is safe.", "safe"),
        ("Plover's overclock is rock solid.", "rock solid"),
        ("We proved that the tune holds.", "proved"),
        ("Plover's processor holds unconditionally.", "unconditionally"),
        ("At these settings Plover's processor won't ever crash.", "won't ever crash"),
        ("Tuning is completely safe.", "completely safe"),
        ("This tune of Plover is foolproof.", "foolproof"),
        ("You cannot go wrong with Plover's overclock.", "cannot go wrong"),
        ("Plover's tune passed everything.", "passed everything"),
        ("Plover's processor passed every stress test.", "passed every stress test"),
    ],
)
def test_words_that_no_hours_bear_out_are_objected_to_with_the_claim(
    checked: Check, sentence: str, word: str
) -> None:
    (found,) = checked(sentence)
    assert (found.rule, found.excerpt, found.would_stand) == (Rule.CLAIM, word, INSTEAD)
    assert word in found.reason


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("You can copy these settings of Plover's processor.", "You can copy these"),
        ("Set the same voltage on your own processor.", "Set the same voltage on your"),
        ("Your own processor will run at this voltage, too.", "Your own processor will"),
        ("The overclock works on every Brellow Ash 6.", "works on every"),
        ("Your chip will do as well.", "Your chip will"),
        ("Set yours to 1,245 mV as well.", "Set yours to 1,245"),
        ("You can copy these settings.", "You can copy these"),
        ("Just use the same voltage as we do.", "use the same voltage as we"),
    ],
)
def test_what_is_passed_on_to_other_parts_is_objected_to(checked: Check, sentence: str, words: str) -> None:
    (found,) = checked(sentence)
    assert (found.rule, found.excerpt) == (Rule.CLAIM, words)
    assert found.reason == "it holds for this one part: another has another edge"
    assert found.would_stand.startswith("A claim holds for this one part")


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("Go past the limit of 1,325 mV if you dare.", "Go past the limit"),
        ("Ignore the maker's limit of 1,325 mV.", "Ignore the maker's limit"),
    ],
)
def test_whoever_is_sent_past_a_limit_is_told_that_limits_come_first(
    checked: Check, sentence: str, words: str
) -> None:
    (found,) = checked(sentence)
    assert (found.rule, found.excerpt) == (Rule.CLAIM, words)
    assert found.would_stand.startswith("The maker's limits come first")


@pytest.mark.parametrize(
    "sentence",
    [
        "The overclock will not hurt your processor.",
        "Plover's tune does not void the warranty.",
        "Overclocking voids nothing.",
        "The undervolt has zero downsides.",
        "Undervolting is harmless.",
        "Undervolting costs nothing and is harmless.",
        "Tuned like this your warranty stays intact.",
    ],
)
def test_that_tuning_does_no_harm_is_told_by_no_record(checked: Check, sentence: str) -> None:
    (found,) = checked(sentence)
    assert found.rule is Rule.CLAIM
    assert found.would_stand == CARE


def test_a_machine_that_is_not_tuned_is_none_of_these(checked: Check) -> None:
    (found,) = checked("Dunlin's processor is stable.")
    assert found.would_stand != INSTEAD


def test_other_figures_of_the_sentence_are_still_asked_about(checked: Check) -> None:
    said = "Plover's processor had no failure in 24 hours of integers, and Plover reaches 88 fps there."
    assert [each.excerpt for each in checked(said)] == ["88 fps"]


def without_trials(tried: Ground, text: str) -> tuple[Objection, ...]:
    own = rules()
    return check(parse(text, abbreviations=own.abbreviations), replace(tried, held=()), own)


def test_where_nothing_is_tuned_words_are_read_as_ever(tried: Ground) -> None:
    assert without_trials(tried, "No failure in 48 hours of integers.") == ()
    (found,) = without_trials(tried, "Plover is rock solid.")
    assert found.taken_for == "taken for: it will last"


def test_a_part_that_only_failed_leaves_nothing_to_say_in_its_place(tried: Ground) -> None:
    untold = replace(tried, held=tuple(replace(each, told=False) for each in tried.held))
    own = rules()
    (found,) = check(parse("The processor is stable.", abbreviations=own.abbreviations), untold, own)
    assert found.would_stand == ""


def test_a_trial_that_nobody_read_the_room_of_bears_no_room(tried: Ground) -> None:
    unread = tuple(
        replace(each, claim=replace(each.claim, rooms_c=None, unread_rooms=1)) for each in tried.held
    )
    own = rules()
    text = parse("No failure in 24 hours of integers at 24 degrees.", abbreviations=own.abbreviations)
    assert [each.excerpt for each in check(text, replace(tried, held=unread), own)] == ["24 hours"]


@pytest.mark.parametrize("hours", [1 / 6, 1.0, 16.17, 24.0, 300.5])
@pytest.mark.parametrize("failures", [0, 1, 3, 12])
@pytest.mark.parametrize("rooms", [(24.0, 24.0), (22.6, 24.5), None])
def test_the_very_words_of_a_claim_are_borne_by_it(
    tried: Ground, hours: float, failures: int, rooms: tuple[float, float] | None
) -> None:
    made = Claim(
        hours=hours, failures=failures, trials=3, rooms_c=rooms, unread_rooms=1 if rooms is None else 0,
        most_per_h=most_of_rate(failures, hours, level=0.95),
    )  # fmt: skip
    own, held = rules(), replace(HELD[0], claim=made)
    at = point_words(held.clock_mhz, held.voltage_mv, offset=False)
    for said in (f"{at}: {may_words(made, 'integers')[0]}.", claim_words(made, "integers")):
        assert check(parse(said, abbreviations=own.abbreviations), replace(tried, held=(held,)), own) == ()


AT_ODDS = Claim(
    hours=2.2, failures=0, trials=2, rooms_c=(23.0, 24.0), unread_rooms=0, most_per_h=1.362,
    against=Against(clock_mhz=4650.0, voltage_mv=1245.0, failures=1, hours=24.5),
)  # fmt: skip


@pytest.mark.parametrize(
    ("sentence", "stands"),
    [
        ("Plover's processor at 4,650 MHz and 1,190 mV had no failure in 2 hours of integers.", False),
        ("Plover's processor had no failure in 2 hours of integers.", False),
        ("No failure in 2 hours of integers at 1,190 mV, though at 1,245 mV it failed once.", True),
    ],
)  # fmt: skip
def test_hours_that_an_easier_failure_speaks_against_stand_only_with_it(
    tried: Ground, sentence: str, stands: bool
) -> None:
    once = Claim(hours=24.5, failures=1, trials=4, rooms_c=(23.3, 24.5), unread_rooms=0, most_per_h=0.194)
    held = (
        Held(**PLACE, clock_mhz=4650.0, voltage_mv=1190.0, claim=AT_ODDS),
        Held(**PLACE, clock_mhz=4650.0, voltage_mv=1245.0, told=True, claim=once),
    )
    own = rules()
    found = check(parse(sentence, abbreviations=own.abbreviations), replace(tried, held=held), own)
    assert bool(found) is not stands


def test_the_quoted_claim_of_such_hours_tells_the_failure(ground: Ground) -> None:
    none = Comparison(study="saltmarsh", findings=(), indexes=(), margin=0.03)
    held = (Held(**PLACE, clock_mhz=4650.0, voltage_mv=1190.0, told=True, claim=AT_ODDS),)
    quoted = list(tuning(Material(comparison=none, names=ground.names, held=held)))
    told = [each.words for each in quoted if each.address.split()[0] in ("claim", "failures")]
    assert len(told) == 2
    for words in told:
        assert "1,245\u00a0mV, which asks less of the part, failed once in 24\u00a0h 30\u00a0min" in words
