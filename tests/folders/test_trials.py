"""What a study file says of tuned parts and trials: read as written, or refused with every reason."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from tests.folders.test_reading import SOUND, read, refused

from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import LimitEntry, TrialEntry, TunedEntry
from evenhand.folders.tuned_entries import keyed
from evenhand.folders.writing import write_study
from evenhand.records.trials import Limit, Meter, Outcome, Quantity, Trial, Tuned

TUNED = """
[[tuned]]
setup = "wren-mild"
part = "processor"
stock_clock_mhz = 4400
stock_voltage_mv = 1175
clock_step_mhz = 50
voltage_step_mv = 5
[[tuned.limits]]
quantity = "voltage"
most = 1325
source = "data sheet, page 14"
read_on = 2031-05-02
"""
TRIAL = """
[[trials]]
setup = "wren-mild"
part = "processor"
clock_mhz = 4450
voltage_mv = 1150
load = "integers"
hours = 0.12
outcome = "crash"
room_c = 0.0
"""


def test_tuned_parts_and_trials_are_read_as_written() -> None:
    found = read(SOUND + TUNED + TRIAL)
    limit = Limit(
        quantity=Quantity.VOLTAGE, most=1325.0, source="data sheet, page 14", read_on=date(2031, 5, 2)
    )
    part = Tuned(
        setup="wren-mild", part="processor", stock_clock_mhz=4400.0, stock_voltage_mv=1175.0,
        clock_step_mhz=50.0, voltage_step_mv=5.0,
    )  # fmt: skip
    assert found.tuned == (TunedEntry(part=part, limits=(LimitEntry(limit=limit),)),)
    assert found.tuned[0].standing == replace(part, limits=(limit,))
    trial = Trial(
        setup="wren-mild", part="processor", clock_mhz=4450.0, voltage_mv=1150.0, load="integers",
        hours=0.12, outcome=Outcome.CRASH, room_c=0.0,
    )  # fmt: skip
    assert found.trials == (TrialEntry(trial=trial),)


@pytest.mark.parametrize("more", ["", 'watts = 141.5\nwatts_at = "wall"\n'])
def test_what_is_written_back_is_read_as_the_same(more: str) -> None:
    found = read(SOUND + TUNED + TRIAL + more)
    assert [each.trial.watts for each in found.trials] == [141.5 if more else None]
    assert read_study(write_study(found), where="study.toml") == found


@pytest.mark.parametrize(
    ("was", "becomes", "told"),
    [
        ('part = "processor"\nclock', 'part = "memory"\nclock', "memory of wren-mild is no tuned part"),
        ('setup = "wren-mild"\npart = "processor"\nstock', 'setup = "wren"\npart = "processor"\nstock',
         "'wren' is not a setup of this file; did you mean 'wren-mild'"),
        ("hours = 0.12", "hours = -1", "must be greater than or equal to 0"),
        ('"crash"', '"crashed"', "did you mean 'crash'"),
        ("voltage_mv = 1150", "voltage_mv = 1.15", "looks like volts"),
        ("voltage_mv = 1150", "voltage_mv = -25", "looks like an offset"),
        ("clock_mhz = 4450", "clock_mhz = 4.45", "below a tenth of stock"),
        ("most = 1325", "most = 1.325", "looks like volts"),
        ("most = 1325", "most = 1100", "of 1,100.mV lies below stock, which is 1,175.mV"),
        ('"voltage"\nmost = 1325', '"clock"\nmost = 4.9', "4.9.MHz looks like GHz; write .* 4900"),
        ("stock_clock_mhz = 4400", "stock_clock_mhz = 4.4", "4.4.MHz looks like GHz"),
        ("clock_step_mhz = 50", "clock_step_mhz = 0.05", "0.05.MHz looks like GHz; write .* 50"),
        ("stock_voltage_mv = 1175", "offset = true", "an offset|offsets"),
        ("voltage_step_mv = 5", "voltage_step_mv = 0.005", "finer than .* looks like volts; write .* 5"),
        ("voltage_step_mv = 5", "voltage_step_mv = 1e-9", "1e-09.mV is finer than any firmware"),
        ("most = 1325", "most = 13250", "limit of 13,250.mV is more than 5 times stock, which is 1,175.mV"),
        ('"voltage"\nmost = 1325', '"clock"\nmost = 4650000', "5 times stock, which is 4,400.MHz"),
        ('"voltage"\nmost = 1325', '"temperature"\nmost = 95000', "95,000.°C is hotter .* in °C, as in 95"),
        ('"voltage"\nmost = 1325', '"power"\nmost = 142000', "142,000.W is more .* in W, as in 142"),
        ("voltage_mv = 1150", "voltage_mv = 11500", "11,500.mV is more than 5 times stock"),
        ("clock_mhz = 4450\n", "clock_mhz = 44500\n", "44,500.MHz is more than 5 times stock"),
        ('outcome = "crash"', 'outcome = "passed"\nerrors = 3', '3 errors were counted.* write "error"'),
        ('outcome = "crash"', 'outcome = "passed"\nerrors = 1', "an error was counted"),
        ('outcome = "crash"', 'outcome = "passed"\nplanned_h = 2', "passed, yet ran 7.2.min of 2.h"),
        ('outcome = "crash"', 'outcome = "passed"\nfound_after_h = 2', "only a failure can be found late"),
        ("hours = 0.12", "hours = 0.12\nwatts = 141.5", "not said where 141.5 W were read"),
        ("hours = 0.12", 'hours = 0.12\nwatts_at = "wall"', "at the wall, and it is not said how many"),
        ("hours = 0.12", 'hours = 0.12\nwatts = 9\nwatts_at = "walls"', "did you mean 'wall'"),
        ("hours = 0.12", 'hours = 0.12\nwatts = 0\nwatts_at = "part"', "must be greater than 0"),
        ("hours = 0.12", "hours = 0.12\nfound_after_h = 0.1", "see which of the two is wrong"),
        ('source = "data sheet, page 14"\n', "", "'source'"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(was: str, becomes: str, told: str) -> None:
    text = TUNED + TRIAL
    assert was in text
    import re

    assert re.search(told, refused(SOUND + text.replace(was, becomes)))


def test_where_stock_is_not_noted_a_limit_is_still_no_more_than_any_part_is_fed() -> None:
    text = TUNED.replace("stock_voltage_mv = 1175\n", "")
    assert read(SOUND + text).tuned
    assert "25,000\u00a0mV is more than any part is fed" in refused(SOUND + text.replace("1325", "25000"))


def test_a_limit_of_another_unit_that_was_taken_back_is_held_against_nothing() -> None:
    gone = '[[tuned.limits.turns]]\ncounts = false\nreason = "a slip"\nat = 2031-05-02T18:05:00+02:00\n'
    assert read(SOUND + TUNED.replace("1325", "13250") + gone).tuned


def test_a_part_twice_and_a_key_twice_are_refused() -> None:
    assert "stands there twice" in refused(SOUND + TUNED + TUNED)
    once = TRIAL + 'key = "a"\n'
    assert "2 trials have the key 'a'" in refused(SOUND + TUNED + once + once)


def test_a_trial_past_a_limit_is_read_since_it_happened() -> None:
    (trial,) = read(SOUND + TUNED + TRIAL.replace("1150", "1400")).trials
    assert trial.trial.voltage_mv == 1400


def test_trials_without_a_key_have_the_same_one_every_time_and_two_alike_are_two() -> None:
    (entry,) = read(SOUND + TUNED + TRIAL).trials
    first, second = keyed([entry, entry])
    assert first.trial.key != second.trial.key
    assert keyed([entry, entry]) == (first, second)
    other = replace(entry, trial=replace(entry.trial, hours=0.13))
    assert keyed([other])[0].trial.key not in (first.trial.key, second.trial.key)
    named = replace(entry, trial=replace(entry.trial, key="own"))
    assert keyed([named])[0].trial.key == "own"


def test_watts_make_no_other_trial_of_one_that_has_no_key() -> None:
    (entry,) = read(SOUND + TUNED + TRIAL).trials
    read_too = replace(entry, trial=replace(entry.trial, watts=141.5, watts_at=Meter.PART))
    assert keyed([read_too])[0].trial.key == keyed([entry])[0].trial.key
    assert keyed([entry])[0].trial.key == "216a5c25b0e3da416594-1", (
        "as workbenches have had it from the first"
    )


GONE = """
[[trials.turns]]
counts = false
reason = "the fan was unplugged"
at = 2031-05-05T09:00:00+02:00
"""
AGAIN = """
[[trials.turns]]
counts = true
reason = "it was plugged in after all"
at = 2031-05-06T09:00:00+02:00
"""


def of_limit(turns: str) -> str:
    return turns.replace("trials", "tuned.limits")


def test_what_was_taken_back_and_put_back_is_read_and_written_back() -> None:
    text = SOUND + TUNED + of_limit(GONE + AGAIN) + TRIAL + GONE
    found = read(text)
    (limit,) = found.tuned[0].limits
    assert [(each.counts, each.at.day) for each in limit.turns] == [(False, 5), (True, 6)]
    assert found.tuned[0].standing.limits == (limit.limit,)
    assert [each.reason for each in found.trials[0].turns] == ["the fan was unplugged"]
    assert read_study(write_study(found), where="study.toml") == found


def test_a_limit_that_was_taken_back_does_not_count() -> None:
    assert read(SOUND + TUNED + of_limit(GONE)).tuned[0].standing.limits == ()


@pytest.mark.parametrize(
    ("turns", "told"),
    [
        (AGAIN, "put back before it was taken back"),
        (GONE + GONE, "taken back twice"),
        (GONE + AGAIN + AGAIN, "put back before it was taken back"),
        (GONE.replace('"the fan was unplugged"', '" "'), "'reason' is empty"),
        (GONE.replace("counts = false", ""), "the key 'counts' is missing"),
        (GONE.replace("+02:00", ""), "does not say its time zone"),
        (GONE.replace("reason", "reasons"), "did you mean 'reason'"),
    ],
)
def test_turns_that_cannot_be_are_refused(turns: str, told: str) -> None:
    assert told in refused(SOUND + TUNED + TRIAL + turns)
    assert told in refused(SOUND + TUNED + of_limit(turns))


def test_what_was_taken_back_is_held_against_nothing() -> None:
    offset = TRIAL.replace("1150", "-25")
    below = TUNED.replace("1325", "1100")
    assert "looks like an offset" in refused(SOUND + TUNED + offset)
    assert "lies below stock" in refused(SOUND + below)
    assert len(read(SOUND + below + of_limit(GONE) + offset + GONE).trials) == 1
