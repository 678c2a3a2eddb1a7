"""The trials of the example's graphics card are those that the plan asks for, ended as the card would."""

from __future__ import annotations

import pytest

from evenhand.demo import card_trials as card
from evenhand.desk.tuning.beside_stock import against_stock
from evenhand.desk.tuning.coming import why_none
from evenhand.desk.tuning.series import Series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.publish.tuning.advice import DONE
from evenhand.records.trials import Outcome, Quantity, Trial

MADE = card.card_trials()


def standing_after(trials: tuple[Trial, ...]) -> TuningNow:
    return tuning_now(Series(tuned=card.CARD, load=card.LOAD, trials=trials))


def test_the_same_seed_makes_the_same_trials() -> None:
    assert card.card_trials() == MADE
    assert card.card_trials(seed=3) != MADE


def test_its_clock_stays_at_stock_and_nothing_lies_past_a_limit() -> None:
    assert {trial.clock_mhz for trial in MADE} == {card.STOCK_MHZ}
    most = card.CARD.limit(Quantity.TEMPERATURE)
    assert most is not None
    assert all(trial.hottest_c is not None and trial.hottest_c < most.most for trial in MADE)
    assert max(trial.voltage_mv for trial in MADE) == card.STOCK_MV


def test_the_load_counts_errors_and_runs_to_its_end() -> None:
    failed = [trial for trial in MADE if trial.errors]
    assert len(failed) == 3
    assert max(trial.errors for trial in failed) > 10
    assert all(trial.outcome is Outcome.ERROR and trial.hours == trial.planned_h for trial in failed)


def test_every_point_after_the_walk_is_what_the_plan_asked_for() -> None:
    walked = len(MADE) - len(card.SOAKS)
    for number, (clock, voltage, hours) in enumerate(card.SOAKS, start=walked):
        asked = standing_after(MADE[:number]).next
        assert asked is not None
        assert (asked.clock_mhz, asked.voltage_mv) == (clock, voltage)
        assert asked.hours == pytest.approx(hours)


def test_it_is_undervolted_far_enough_above_its_edge_and_saves_watts() -> None:
    now = standing_after(MADE)
    assert why_none(now) == DONE
    assert now.doubts == ()
    assert now.wanted is not None
    advice = now.wanted.advice
    assert advice.voltage_mv is not None
    assert advice.voltage_mv < card.STOCK_MV
    assert card.TRUTH.rate(advice.voltage_mv, now.goal.room_c) <= now.goal.rate
    saved = card.TRUTH.watts(card.STOCK_MV) - card.TRUTH.watts(advice.voltage_mv)
    words = against_stock(now, advice).replace("\u00a0", " ")
    assert words.startswith(
        f"That is {card.STOCK_MV - advice.voltage_mv:.0f} mV below stock at the stock clock."
    )
    said = int(words.rpartition(": ")[2].split()[0])
    assert said == pytest.approx(saved, abs=3.0)
