"""Which machine is quieter: from readings with a background, and refused where the room drowns it."""

import math

import numpy as np
import pytest
from scipy import stats

from evenhand.findings.finding import Outcome
from evenhand.findings.gaps import Topic
from evenhand.findings.sound import METER_DB, sounds
from evenhand.records.sound import SoundReading


def readings(setup, levels, background=28.0, **more):
    return [SoundReading(setup=setup, level_db=level, background_db=background, **more) for level in levels]


QUIET = readings("wren", [34.0, 34.3, 33.8])
LOUD = readings("plover", [40.1, 39.8, 40.4])


def one(*sides, setups=("wren", "plover"), **more):
    (gap,) = sounds([r for side in sides for r in side], setups=setups, **more)
    return gap


def test_the_quieter_machine_is_ahead():
    gap = one(QUIET, LOUD)
    assert (gap.topic, gap.unit, gap.outcome) == (Topic.SOUND, "dB", Outcome.AHEAD)
    assert gap.difference is not None
    assert gap.difference < 0


def test_numbers_worked_by_hand():
    """Means 34.0333 and 40.1 above 28, as energies 2531.24 and 10232.93 above 630.957.

    10·lg(1900.28) = 32.7882 and 10·lg(9601.97) = 39.8236, 7.0354 apart. Readings spread by 0.25166 and 0.3,
    enlarged by 2531.24/1900.28 = 1.33203 and 1.06571: variances 0.112374 and 0.102217, pooled 0.107296; over
    two threes an error of 0.26745, times 2.77645 on 4 degrees of freedom.
    """
    gap = one(QUIET, LOUD)
    assert (gap.value_a, gap.value_b) == pytest.approx((32.7882, 39.8236), abs=1e-4)
    assert gap.difference == pytest.approx(-7.0354, abs=1e-4)
    assert gap.high is not None
    assert gap.difference is not None
    assert gap.high - gap.difference == pytest.approx(0.26745 * 2.77645, abs=1e-4)


def test_without_a_room_it_is_student_on_the_readings():
    """Far above the background nothing is left of the subtraction, and scipy says the rest."""
    a, b = [50.0, 50.4, 50.1, 49.9], [51.0, 51.3, 50.8]
    gap = one(readings("wren", a, -30.0), readings("plover", b, -30.0))
    other = stats.ttest_ind(a, b).confidence_interval(0.95)
    assert (gap.low, gap.high) == pytest.approx((other.low, other.high), abs=1e-6)


def test_turning_the_pair_round_turns_the_outcome():
    gap, other = one(QUIET, LOUD), one(QUIET, LOUD, setups=("plover", "wren"))
    assert other.outcome is Outcome.BEHIND
    assert other.difference == pytest.approx(-(gap.difference or math.nan))


def test_a_shift_of_the_meter_cancels():
    """Total and background read one decibel high on both sides: the difference stays."""
    moved = [
        SoundReading(setup=r.setup, level_db=r.level_db + 1.0, background_db=29.0) for r in (*QUIET, *LOUD)
    ]
    assert one(moved).difference == pytest.approx(one(QUIET, LOUD).difference)


def test_less_than_three_decibels_above_the_room_is_refused_with_a_bound():
    gap = one(readings("wren", [30.0, 30.4, 29.9]), LOUD)
    assert (gap.difference, gap.outcome) == (None, Outcome.UNSETTLED)
    assert gap.why is not None
    assert gap.why.told() == "wren: reads less than 3 dB above the room, too little to tell it from the room"
    # 30.1 + 0.5 less 28 − 0.5: 10·lg(10^3.06 − 10^2.75)
    assert gap.most_a == pytest.approx(27.67, abs=0.01)
    assert gap.most_b is None


def test_a_reading_without_a_background_is_bounded_by_itself():
    gap = one(readings("wren", [34.0, 34.2], None), LOUD)
    assert gap.why is not None
    assert gap.why.key == "no-background"
    assert gap.most_a == pytest.approx(34.1 + METER_DB)


def test_one_reading_without_a_background_among_others_with_one_is_left_out_and_said():
    stray = readings("plover", [47.0], background=None)
    gap, without = one(QUIET, LOUD, stray), one(QUIET, LOUD)
    assert (gap.difference, gap.low, gap.outcome) == (without.difference, without.low, Outcome.AHEAD)
    (said,) = (caveat for caveat in gap.caveats if caveat.key == "stray-reading")
    assert said.told() == "plover: one reading without a background left out: the room is in the level"


def test_both_sides_without_a_reading_are_said_at_once():
    gap = one([])
    assert gap.why is not None
    assert gap.why.told() == "wren and plover, each: nobody read its level"


@pytest.mark.parametrize(
    ("more", "key"),
    [({"weighting": "C"}, "weighting"), ({"distance_m": 1.0}, "distance")],
)
def test_readings_that_do_not_compare_are_not_compared(more, key):
    near = readings("wren", [34.0, 34.3, 33.8], distance_m=0.5)
    far = readings("plover", [40.1, 39.8, 40.4], **{"distance_m": 0.5, **more})
    gap = one(near, far)
    assert gap.why is not None
    assert gap.why.key == key


def test_one_reading_shows_a_difference_and_calls_nothing():
    gap = one(readings("wren", [34.0]), LOUD)
    assert gap.difference is not None
    assert (gap.low, gap.outcome) == (None, Outcome.UNSETTLED)
    assert "one-reading" in {c.key for c in gap.caveats}


def test_the_allowance_for_the_meter_grows_near_the_room():
    far, near = one(QUIET, LOUD), one(readings("wren", [31.3, 31.5, 31.2]), LOUD)
    assert far.allowance == pytest.approx(METER_DB * 1.33203, abs=1e-5)
    assert near.allowance > far.allowance


def test_close_levels_well_above_the_room_are_level():
    a = readings("wren", [40.0, 40.05, 39.95, 40.0], 20.0)
    b = readings("plover", [40.1, 40.05, 40.0, 40.1], 20.0)
    assert one(a, b).outcome is Outcome.LEVEL


def test_a_difference_within_what_the_meter_may_err_by_is_not_called():
    a = readings("wren", [40.0, 40.02, 39.98, 40.0], 20.0)
    b = readings("plover", [40.46, 40.44, 40.48, 40.46], 20.0)
    gap = one(a, b, margin_db=0.3)
    assert gap.outcome is Outcome.UNSETTLED
    assert "ahead-withheld" in {c.key for c in gap.caveats}


def test_every_pair_and_test_that_was_read_is_told_idle_first():
    under_load = readings("wren", [44.0, 44.2], test="quay") + readings("plover", [47.0, 47.3], test="quay")
    gaps = sounds([*QUIET, *LOUD, *under_load], setups=("wren", "plover", "dunlin"), tests=("weir", "quay"))
    assert [(g.a, g.b, g.test) for g in gaps[:2]] == [("wren", "plover", ""), ("wren", "plover", "quay")]
    assert len(gaps) == 6
    assert all(g.why is not None for g in gaps if "dunlin" in (g.a, g.b))


def test_equal_machines_are_seldom_called_apart():
    """Of 400 pairs of like machines read three times each, at most 3 in 100."""
    rng, called = np.random.default_rng(11), 0
    for _ in range(400):
        sides = [readings(s, 38.0 + rng.normal(0, 0.4, 3)) for s in ("wren", "plover")]
        called += one(*sides, meter_db=0.0).outcome in (Outcome.AHEAD, Outcome.BEHIND)
    assert called <= 22  # 3 % of 400 and three standard errors


def test_a_reading_in_the_room_among_others_clear_of_it_is_left_out_and_said():
    stray = readings("plover", [30.0])
    gap, without = one(QUIET, LOUD, stray), one(QUIET, LOUD)
    assert (gap.difference, gap.low, gap.outcome) == (without.difference, without.low, Outcome.AHEAD)
    (said,) = (caveat for caveat in gap.caveats if caveat.key == "drowned-reading")
    assert said.told() == "plover: one reading less than 3 dB above the room left out"


def test_near_the_room_all_readings_count():
    """Without the low one the rest would be too loud."""
    gap = one(readings("wren", [32.0, 31.8, 30.6]), LOUD)
    assert gap.n_a == 3
    assert gap.difference == pytest.approx(one(readings("wren", [31.4666667] * 3), LOUD).difference, abs=1e-6)
