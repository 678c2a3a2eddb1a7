"""Claims, advice and next trials in words: none grows by being told, and none says more than hours bear."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from evenhand.publish.numbers import NO_BREAK
from evenhand.publish.tuning import advice, doubts
from evenhand.publish.tuning.claims import claim_words, may_words, more_words, seldom_words
from evenhand.publish.tuning.trials import ended_words
from evenhand.records.trials import Limit, Outcome, Quantity, Trial
from evenhand.tuning.advice import Advice, Goal, Withheld
from evenhand.tuning.claims import claim
from evenhand.tuning.doubts import Doubt
from evenhand.tuning.planning import NextTrial
from evenhand.tuning.walk import Purpose

TRIAL = Trial(
    setup="a", part="processor", clock_mhz=4650.0, voltage_mv=1240.0, load="integers", hours=24.0,
    outcome=Outcome.PASSED, room_c=24.0,
)  # fmt: skip
LIMIT = Limit(quantity=Quantity.VOLTAGE, most=1350.0, source="data sheet", read_on=date(2031, 5, 2))
ADVICE = Advice(
    clock_mhz=4650.0, goal=Goal(room_c=30.0, step_mv=5.0, share=0.95), edge_mv=(1160.0, 1167.0, 1174.0),
    needed_mv=(1217.1, 1234.7), voltage_mv=1235.0, limit=LIMIT,
)  # fmt: skip


def plain(text: str) -> str:
    return text.replace(NO_BREAK, " ")


@pytest.mark.parametrize(
    ("trials", "said"),
    [
        ([TRIAL], "In 24 h of integers at 24 °C no failure; at 95 % fewer than one in 8 h."),
        ([replace(TRIAL, outcome=Outcome.STOPPED)],
         "In 24 h of integers at 24 °C no failure; at 95 % fewer than one in 8 h."),
        ([replace(TRIAL, hours=1 / 6)],
         "In 10 min of integers at 24 °C no failure; at 95 % fewer than one in 3 min."),
        ([TRIAL, replace(TRIAL, room_c=27.0, hours=1.0, outcome=Outcome.CRASH)],
         "In 25 h of integers at 24 to 27 °C one failure; at 95 % fewer than one in 5.2 h."),
        ([replace(TRIAL, room_c=None)],
         "In 24 h of integers in a room that nobody read no failure; at 95 % fewer than one in 8 h."),
    ],
)  # fmt: skip
def test_a_claim_names_hours_load_room_failures_and_bound(trials: list[Trial], said: str) -> None:
    assert plain(claim_words(claim(trials), "integers")) == said


@pytest.mark.parametrize("hours", [0.01, 0.3, 1.0, 2.7, 23.9, 24.0, 299.0, 12345.0])
def test_no_bound_is_told_as_a_better_one(hours: float) -> None:
    found = claim([replace(TRIAL, hours=hours)])
    digits, unit = seldom_words(found.fewer_than_one_in_h).split(NO_BREAK)
    told = float(digits.replace(",", "")) * {"h": 1.0, "min": 1 / 60, "s": 1 / 3600}[unit]
    assert 0.9 * found.fewer_than_one_in_h - 1 / 3600 < told <= found.fewer_than_one_in_h


def test_what_it_takes_to_claim_more_is_rounded_up() -> None:
    words = plain(more_words(claim([TRIAL])))
    assert words == "276 h more without a failure would show fewer than one in 100 h."
    assert claim([replace(TRIAL, hours=24.0 + 276)]).fewer_than_one_in_h >= 100


def test_what_a_part_may_be_called_never_is_the_bare_word() -> None:
    may, may_not = may_words(claim([TRIAL]), "integers")
    assert "stable" not in may
    assert may_not[0] == "stable"
    assert [plain(each) for each in may_not[2:]] == [
        "fewer than one failure in 100 h", "proven under any load but integers",
    ]  # fmt: skip


def test_no_sentence_of_tuning_says_the_bare_word() -> None:
    every = [
        *advice.TODO.values(), *doubts.WHY.values(),
        *doubts.FOR_READERS.values(), *advice.CAUTIONS,
        advice.CAUTION, doubts.STOCK_FAILED, advice.FAILED_THERE, advice.DONE,
    ]  # fmt: skip
    assert not [words for words in every if re.search(r"\bstab(le|ility)\b|rock.solid", words)]


def test_everything_withheld_and_every_doubt_says_what_to_do() -> None:
    assert set(advice.TODO) == set(Withheld)
    assert set(doubts.WHY) == set(doubts.FOR_READERS) == set(Doubt)


def test_advice_tells_its_reserve_the_reason_and_the_makers_limit() -> None:
    assert plain(advice.advice_words(ADVICE, offset=False, most=LIMIT)) == (
        "For 4,650 MHz set 1,235 mV. For at most one failure in 1,000 h of the load in a room of 30 °C most "
        "likely 1,217 mV is enough, and 1,235 mV at 95 % by what the trials tell; the firmware's next step "
        "is advised. The guard band, from the edge up to the advised voltage, is 68 mV; 18 mV of it are the "
        "reserve for what the trials leave open. The maker allows 1,350 mV "
        "(data sheet, read on 2 May 2031)."
    )


def test_a_limit_of_one_s_own_is_told_as_that_with_its_reason() -> None:
    own = replace(LIMIT, source="ourselves: it keeps quiet")
    said = plain(advice.advice_words(ADVICE, offset=False, most=own))
    assert said.endswith("We allow no more than 1,350 mV (our own limit: it keeps quiet, set on 2 May 2031).")
    assert "maker" not in said


def test_nothing_that_is_withheld_says_whose_limit_it_is() -> None:
    withheld = [*map(str, Withheld), *advice.TODO.values()]
    told = [each for each in withheld if "maker" in each]
    assert told == [Withheld.NO_LIMIT.value, advice.TODO[Withheld.NO_LIMIT]]


@pytest.mark.parametrize("why", Withheld)
def test_without_advice_the_reason_and_the_next_step_are_told(why: Withheld) -> None:
    words = advice.advice_words(replace(ADVICE, voltage_mv=None, withheld=why), offset=False, most=None)
    assert "no voltage is advised" in words
    assert why.value in words
    assert words.endswith(advice.TODO[why])


def test_the_next_trial_tells_what_to_set_for_how_long_and_why() -> None:
    found = NextTrial(clock_mhz=4650.0, voltage_mv=-15.0, hours=1 / 6, purpose=Purpose.LOWER)
    assert plain(advice.next_words(found, "integers", offset=True)) == (
        "Set 4,650 MHz and −15 mV in the firmware and run integers for 10 min: one step lower at this clock."
    )


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, "held 24 h, room 24 °C"),
        ({"outcome": Outcome.CRASH, "hours": 0.1, "found_after_h": 0.5},
         "crashed or hung some time between 6 min and 30 min, room 24 °C"),
        ({"outcome": Outcome.ERROR, "errors": 3, "hottest_c": 71.5},
         "ran 24 h, three counted errors, room 24 °C, up to 71.5 °C"),
        ({"outcome": Outcome.STOPPED, "room_c": None}, "was stopped after 24 h"),
    ],
)  # fmt: skip
def test_how_a_trial_ended(changes: dict[str, object], said: str) -> None:
    assert plain(ended_words(replace(TRIAL, **changes))) == said  # type: ignore[arg-type]


def test_no_clock_is_ruled_out_for_good_by_few_trials_and_none_is_sent_the_wrong_way() -> None:
    past = advice.TODO[Withheld.PAST_LIMIT]
    assert "not surely" in past
    assert "more of them" in past
    assert "down" not in advice.TODO[Withheld.NEVER_FAILED], "a clock alone goes up"


def test_readers_are_told_what_was_advised_and_nothing_to_set() -> None:
    said = plain(advice.advice_words(ADVICE, offset=False, most=LIMIT, readers=True))
    assert said.startswith(
        "1,235 mV was advised at 4,650 MHz, for this one part: copy it to no other. For at"
    )
    assert " set " not in said
