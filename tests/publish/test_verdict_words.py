"""Verdicts in words: who is in front comes first, and the money says what it says at which price."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.finding import Caveat, Outcome
from evenhand.money.break_even import BreakEven, Value
from evenhand.money.paid import Paid
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.flip_words import becomes_word, flip_sentence, once_words
from evenhand.publish.money_words import inside, value_words, worth_words
from evenhand.publish.verdict_answer import verdict_answer
from evenhand.publish.verdict_words import (
    chance_words,
    lead_words,
    prices_words,
    verdict_clause,
    weighing_words,
)
from evenhand.publish.worth_words import rescaled_words
from evenhand.records.audiences import Audience, Property
from evenhand.records.prices import Currency, Price
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move
from evenhand.verdicts.verdict import Verdict
from evenhand.verdicts.wobble import Wobble

DRELL = Currency(symbol="dl", decimals=0)
PAIR = Pair(a="plover", b="dunlin", names=s.NAMES, margin=0.03, level=0.95)
PLAY = Audience(key="play", name="Mostly play", groups={"games": 80, "work": 20})
EDIT = Audience(key="edit", name="Mostly editing", groups={"games": 20, "work": 80})
LEVEL = Verdict(
    audience="play", a="plover", b="dunlin", outcome=Outcome.LEVEL, ratio=1.0142, low=1.0068, high=1.0216,
    bound_low=1.0082, bound_high=1.0202, p_holm=0.002, measurably=True, value=Value.A, prices=(998, 1012),
    break_even=BreakEven(at=1026.34, low=1018.85, high=1033.89),
)  # fmt: skip
BEHIND = replace(
    LEVEL, audience="edit", outcome=Outcome.BEHIND, ratio=0.95, low=0.94, high=0.96, bound_low=0.942,
    bound_high=0.958, measurably=False, value=Value.B,
)  # fmt: skip


def plain(said: str) -> str:
    return said.replace("\u00a0", " ")


def test_level_says_its_bound_and_shows_the_interval_that_was_held_against_it() -> None:
    said = plain(verdict_clause(LEVEL, s.NAMES, margin=0.03))
    assert said == "Plover and Dunlin are level within ±3 %: measurably Plover +1.4 % (90 %: +0.8 to +2.0)"


def test_whoever_is_in_front_is_named_first_with_what_it_has_over_the_other() -> None:
    assert (
        plain(verdict_clause(BEHIND, s.NAMES, margin=0.03))
        == "Dunlin is ahead of Plover by 5.3 % (4.2 to 6.4)"
    )
    assert plain(lead_words(BEHIND, s.NAMES)) == "Dunlin +5.3 % (+4.2 to +6.4)"


def test_a_lead_over_the_other_and_back_again_is_the_same_lead() -> None:
    turned = replace(
        BEHIND, a="dunlin", b="plover", outcome=Outcome.AHEAD, ratio=1 / 0.95, low=1 / 0.96, high=1 / 0.94
    )
    assert lead_words(turned, s.NAMES) == lead_words(BEHIND, s.NAMES)


def test_what_a_machine_is_worth_has_its_band_and_the_price_it_is_held_against() -> None:
    said = plain(worth_words(LEVEL, s.NAMES, DRELL))
    assert said == "Plover is worth 1,026 dl (1,019 to 1,033) where Dunlin costs 1,012 dl."


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (Value.A, "Plover, by value at 998 dl"),
        (Value.B, "Dunlin, by value at 1,012 dl"),
        (Value.LEVEL, "either, level by value"),
        (Value.UNKNOWN, ""),
    ],
)
def test_the_better_value_is_named_at_its_price(value: Value, said: str) -> None:
    assert plain(value_words(replace(LEVEL, value=value), s.NAMES, DRELL)) == said


def test_level_prices_are_whole_and_lie_within_the_band() -> None:
    assert inside(BreakEven(at=10.5, low=9.2, high=11.9)) == (10, 11)
    assert inside(BreakEven(at=10.5, low=10.2, high=10.8)) is None
    assert inside(BreakEven(at=10.5, low=None, high=None)) is None


def test_how_firmly_it_holds_is_told_of_whoever_is_in_front() -> None:
    chance = Wobble(a_in_front=0.25, a_by_margin=0.0, b_by_margin=0.12)
    said = chance_words(chance, BEHIND, s.NAMES)
    told = "Dunlin is in front in 75 of 100 draws, by more than the margin in 12."
    assert said == f"With slightly different weights, {told}"
    nearly = chance_words(replace(chance, a_in_front=0.005), BEHIND, s.NAMES)
    assert "is in front in 99 of 100 draws" in nearly, "all but a few are not all"
    assert "cannot be said" in chance_words(None, LEVEL, s.NAMES)


def test_where_one_thing_is_weighed_no_weight_is_said_to_be_another() -> None:
    chance = Wobble(a_in_front=0.0, a_by_margin=0.0, b_by_margin=0.12, alone=True)
    said = chance_words(chance, BEHIND, s.NAMES)
    assert said.startswith("Only one thing is weighed, so no weight can differ; within the error of the meas")
    assert said.endswith("Dunlin is in front in every one of 100 draws, by more than the margin in 12.")


def test_weights_are_told_as_shares_of_their_sum() -> None:
    assert plain(weighing_words(PLAY, s.NAMES)) == "games 80 %, work 20 %"
    spared = replace(PLAY, groups={"games": 1}, tests={"regatta": 0.0, "choir": 0.0})
    assert plain(weighing_words(spared, s.NAMES)) == "games 100 %, without Hollow Regatta and Quarry Choir"
    both = replace(PLAY, groups={"games": 3, "work": 1}, properties={Property.SPEED: 3, Property.NOISE: 1})
    assert plain(weighing_words(both, s.NAMES)) == (
        "games 75 %, work 25 %, rescaled from 3 and 1, which add up to 4; "
        "speed 75 %, noise 25 %, rescaled from 3 and 1, which add up to 4"
    )


@pytest.mark.parametrize(
    ("weights", "told"),
    [
        ({"games": 80, "work": 20}, ""),
        ({"games": 0.8, "work": 0.2}, ""),
        ({"games": 0.7, "work": 0.2, "night": 0.1}, ""),
        ({"games": 0.5, "work": 0.2}, "rescaled from 0.5 and 0.2, which add up to 0.7"),
        ({"games": 50, "work": 30, "night": 0}, "rescaled from 50 and 30, which add up to 80"),
        ({"games": 1, "work": 1, "night": 1}, ""),
    ],
)
def test_weights_that_add_up_neither_to_1_nor_to_100_are_told_as_rescaled(
    weights: dict[str, float], told: str
) -> None:
    assert rescaled_words(weights) == told


def test_prices_stand_with_their_day_and_what_has_none_is_named() -> None:
    price = Price(build="plover", minor=998, currency=DRELL, on=date(2031, 5, 4))
    paid = Paid(currency=DRELL, by_setup={"plover": price}, unpriced=("dunlin",))
    said = [plain(each) for each in prices_words(paid, s.NAMES)]
    assert said == ["Prices of 4 May 2031: Plover 998 dl.", "No price is on record for Dunlin."]
    assert "nothing is said of value" in prices_words(Paid(currency=None), s.NAMES)[0]


def test_a_price_in_another_currency_is_told_with_why_it_is_not_compared() -> None:
    other = Price(build="dunlin", minor=91000, currency=Currency(symbol="cr"), on=date(2031, 5, 4))
    paid = Paid(currency=DRELL, unpriced=("plover", "dunlin"), elsewhere={"dunlin": other})
    none, elsewhere = (plain(each) for each in prices_words(paid, s.NAMES))
    assert none == "No price is on record for Plover."
    assert elsewhere == (
        "Dunlin (910.00 cr, asked on 4 May 2031) has a price in another currency only: amounts are compared "
        "in dl alone, as no rate of its day or before it is on record."
    )


def test_a_price_of_a_day_to_come_is_told_as_one_that_counts_from_then_on() -> None:
    price = Price(build="plover", minor=998, currency=DRELL, on=date(2031, 5, 4))
    paid = Paid(currency=DRELL, unpriced=("plover",), to_come={"plover": price})
    (said,) = prices_words(paid, s.NAMES)
    assert plain(said) == ("Plover: 998 dl, asked on 4 May 2031, a day still to come, counts from then on.")


def test_the_answer_speaks_of_the_first_audience_and_the_first_for_which_another_machine_is_it() -> None:
    said = plain(verdict_answer([(PLAY, LEVEL), (EDIT, BEHIND)], PAIR, currency=DRELL))
    assert said == (
        "Mostly play: Plover and Dunlin are level, measurably Plover by 1.4 %, and Plover is the better "
        "value at 998 dl. Mostly editing: Dunlin is ahead of Plover by 5.3 %, and Dunlin is the better value "
        "at 1,012 dl."
    )


def test_where_all_audiences_say_the_same_it_is_said_once() -> None:
    said = plain(
        verdict_answer([(PLAY, LEVEL), (EDIT, replace(LEVEL, audience="edit"))], PAIR, currency=DRELL)
    )
    assert said.endswith("for both audiences alike.")
    assert "Mostly editing" not in said


def test_the_number_of_one_audience_is_not_told_as_that_of_all() -> None:
    ahead = replace(LEVEL, outcome=Outcome.AHEAD, ratio=1.0885, low=1.083, high=1.094, value=Value.UNKNOWN)
    less = replace(ahead, audience="edit", ratio=1.061, low=1.057, high=1.066)
    said = plain(verdict_answer([(PLAY, ahead), (EDIT, less)], PAIR, currency=None))
    assert said == (
        "Plover is ahead of Dunlin for both audiences: by 8.9 % for Mostly play, by 6.1 % for Mostly editing."
    )


def test_of_many_audiences_the_least_and_the_most_are_told() -> None:
    many = [
        (replace(PLAY, key=f"k{i}", name=f"Sort {i}"), replace(LEVEL, ratio=ratio, low=ratio - 0.005,
         high=ratio + 0.005, bound_low=ratio - 0.004, bound_high=ratio + 0.004))
        for i, ratio in enumerate((1.0142, 1.011, 1.019))
    ]  # fmt: skip
    said = plain(verdict_answer(many, PAIR, currency=DRELL))
    assert said == (
        "Plover and Dunlin are level, measurably Plover, for every audience: from 1.1 % for Sort 1 to 1.9 % "
        "for Sort 2; Plover is the better value at 998 dl."
    )


def test_an_audience_without_a_verdict_is_not_counted_among_all() -> None:
    told = [(PLAY, LEVEL), (EDIT, replace(LEVEL, audience="edit")), (replace(EDIT, key="x"), None)]
    said = plain(verdict_answer(told, PAIR, currency=DRELL))
    assert said.endswith("for every audience that has a verdict alike.")


def test_what_is_measurable_for_one_audience_alone_is_another_answer() -> None:
    told = replace(LEVEL, ratio=1 / 1.0142, low=0.979, high=0.993, bound_low=0.98, bound_high=0.992)
    open_one = replace(told, audience="edit", measurably=False)
    said = plain(verdict_answer([(PLAY, told), (EDIT, open_one)], PAIR, currency=DRELL))
    assert "Mostly editing: level" in said


def test_what_has_no_number_is_said_where_the_verdict_is_said_first() -> None:
    lacks = Caveat(
        key="not-measured", words="20 % of the weight stands on what has no number: {tests}", tests=("noise",)
    )
    ahead = replace(LEVEL, outcome=Outcome.AHEAD, ratio=1.3, low=1.29, high=1.31, caveats=(lacks,))
    said = plain(verdict_answer([(PLAY, LEVEL), (EDIT, ahead)], PAIR, currency=None))
    assert said.endswith("But for Mostly editing 20 % of the weight stands on what has no number: noise.")


def test_no_draw_is_told_where_something_weighed_has_no_number_but_what_would_turn_it() -> None:
    chance = Wobble(a_in_front=0.9, a_by_margin=0.2, b_by_margin=0.0)
    ahead = replace(
        LEVEL, ratio=math.exp(0.1), missing=0.2, unknown=(Property.NOISE,),
        caveats=(Caveat(key="not-measured", words="x", tests=("noise",)),),
    )  # fmt: skip
    # 0.8 · 0.1 is made up by 0.2 · 0.4, and 10 dB are a factor of two: 10 · 0.4 / ln 2 = 5.771 dB.
    assert plain(chance_words(chance, ahead, s.NAMES)) == (
        "No chance is told, since noise has no number. "
        "Dunlin would be in front if it were quieter by 5.8 dB or more."
    )
    unrun = replace(
        ahead, ratio=math.exp(-0.1), unknown=(Property.SPEED,),
        caveats=(Caveat(key="not-measured", words="x", tests=("render", "export")),),
    )  # fmt: skip
    said = plain(chance_words(None, unrun, s.NAMES))
    assert "have no number. Plover would be in front if it were better there by 49.2 % or more." in said
    said = plain(chance_words(None, replace(unrun, missing=0.01), s.NAMES))
    assert said.endswith("Plover would be in front if it were better there by more than 900 %.")


def test_speed_and_value_that_contradict_each_other_are_both_said() -> None:
    ahead = replace(LEVEL, outcome=Outcome.AHEAD, ratio=1.3, low=1.29, high=1.31, value=Value.B)
    assert "but Dunlin is the better value" in plain(verdict_answer([(PLAY, ahead)], PAIR, currency=DRELL))


@pytest.mark.parametrize(
    ("move", "aspect", "becomes", "said"),
    [
        (Move(lever=Lever.PRICE, name="plover", size=0.02, before=998, after=1019), Aspect.VALUE, 0,
         "Plover rises to 1,019 dl from 998 dl: Plover and Dunlin are then level by value."),
        (Move(lever=Lever.WEIGHT, name="games", size=0.232, before=0.8, after=0.568), Aspect.ORDER, -1,
         "The weight of games falls to 56.8 % from 80 %: Dunlin is then in front of Plover."),
        (Move(lever=Lever.TITLE, name="causeway", size=0.16), Aspect.OUTCOME, 1,
         "Salt Causeway is left out: Plover is then ahead of Dunlin."),
        (Move(lever=Lever.RUN, name="3f9a", size=0.02), Aspect.OUTCOME, 2,
         "The run take 3 is put back: Plover and Dunlin are then unsettled."),
        (Move(lever=Lever.METRIC, name="", size=1.0, metric="low_1pct"), Aspect.OUTCOME, 0,
         "Every game is judged by its 1% lows: Plover and Dunlin are then level."),
        (Move(lever=Lever.MARGIN, name="", size=0.3, before=0.03, after=0.02), Aspect.OUTCOME, -1,
         "The margin falls to 2 % from 3 %: Dunlin is then ahead of Plover."),
    ],
)  # fmt: skip
def test_a_flip_is_told_as_the_change_and_what_it_says_then(
    move: Move, aspect: Aspect, becomes: int, said: str
) -> None:
    flip = Flip(a="plover", b="dunlin", aspect=aspect, moves=(move,), was=1, becomes=becomes, ratio=1.0)
    assert plain(flip_sentence(flip, s.NAMES, currency=DRELL, runs={"3f9a": "take 3"})) == said


def test_an_effect_may_be_told_before_its_changes() -> None:
    moves = (
        Move(lever=Lever.TITLE, name="causeway", size=0.16),
        Move(lever=Lever.PRICE, name="plover", size=0.01, before=998, after=1003),
    )
    flip = Flip(a="plover", b="dunlin", aspect=Aspect.VALUE, moves=moves, was=1, becomes=0, ratio=1.0)
    said = plain(once_words(flip, s.NAMES, currency=DRELL, runs={}))
    told = "Salt Causeway is left out and Plover rises to 1,003 dl from 998 dl"
    assert said == f"Plover and Dunlin are level by value once {told}"


def test_a_flip_calls_level_by_value_only_what_is_shown_to_be() -> None:
    move = Move(lever=Lever.PRICE, name="plover", size=0.02, before=998, after=1019)
    flip = Flip(a="plover", b="dunlin", aspect=Aspect.VALUE, moves=(move,), was=1, becomes=0, ratio=1.0)
    said = plain(flip_sentence(replace(flip, becomes_open=True), s.NAMES, currency=DRELL, runs={}))
    assert said.endswith(": Plover and Dunlin are then not told apart by value.")


def test_an_answer_for_every_audience_says_level_of_none_that_is_not_shown_to_be() -> None:
    level = replace(LEVEL, value=Value.LEVEL, value_open=False)
    said = plain(
        verdict_answer([(PLAY, level), (EDIT, replace(level, value_open=True))], PAIR, currency=DRELL)
    )
    assert said.count("level by value") == 1
    assert said.count("not told apart by value") == 1


def test_a_flip_after_which_value_says_nothing_is_told_too() -> None:
    move = Move(lever=Lever.WEIGHT, name="games", size=0.1, before=0.8, after=0.9)
    flip = Flip(a="plover", b="dunlin", aspect=Aspect.VALUE, moves=(move,), was=1, becomes=2, ratio=1.0)
    said = flip_sentence(flip, s.NAMES, currency=DRELL, runs={})
    assert said.endswith(": nothing is then said of value between Plover and Dunlin.")


@pytest.mark.parametrize(
    ("aspect", "code", "word"),
    [
        (Aspect.OUTCOME, 1, "ahead"), (Aspect.OUTCOME, 2, "unsettled"), (Aspect.VALUE, -1, "b"),
        (Aspect.VALUE, 2, "unknown"), (Aspect.ORDER, 0, "neither"), (Aspect.ORDER, 1, "a"),
    ],
)  # fmt: skip
def test_programs_hear_one_word(aspect: Aspect, code: int, word: str) -> None:
    assert becomes_word(aspect, code) == word


def test_of_many_audiences_the_one_with_another_machine_ahead_is_told_beside_the_first() -> None:
    third = replace(PLAY, key="third", name="Third")
    told = [(PLAY, LEVEL), (third, replace(LEVEL, value=Value.LEVEL)), (EDIT, BEHIND)]
    said = plain(verdict_answer(told, PAIR, currency=DRELL))
    assert "Mostly editing: Dunlin is ahead of Plover by 5.3 %" in said
    assert "Third" not in said
