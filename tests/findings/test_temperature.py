"""Whose parts are cooler at the same noise: at like levels, along lines, or refused."""

import numpy as np
import pytest
from scipy import stats

from evenhand.findings.finding import Outcome
from evenhand.findings.temperature import SENSOR_K, temperatures_at_equal_noise
from evenhand.records.sound import SoundReading
from evenhand.stats.decibels import subtract

ROOM = 24.0
BACKGROUND = 20.0


def reading(setup, level, kelvins, *, part="processor", room=ROOM, background=BACKGROUND, test="quay"):
    """A part this far above the room at this level."""
    return SoundReading(
        setup=setup, level_db=level, background_db=background, test=test, room_c=room,
        temperatures_c={part: kelvins + (room if room is not None else ROOM)},
    )  # fmt: skip


def one(*readings, setups=("wren", "plover")):
    (gap,) = temperatures_at_equal_noise(readings, setups=setups)
    return gap


def at_level(setup, kelvins, level=36.0):
    return [reading(setup, level + 0.1 * i, k) for i, k in enumerate(kelvins)]


def along(setup, levels, height, slope=-1.0, noise=()):
    noise = noise or [0.0] * len(levels)
    return [reading(setup, x, height + slope * (x - 36.0) + e) for x, e in zip(levels, noise, strict=True)]


def test_at_like_levels_the_means_are_compared():
    a, b = [40.0, 40.5, 39.8], [46.0, 45.5, 46.4]
    gap = one(*at_level("wren", a), *at_level("plover", b))
    other = stats.ttest_ind(a, b).confidence_interval(0.95)
    assert (gap.low, gap.high) == pytest.approx((other.low, other.high))
    assert (gap.outcome, gap.unit, gap.part) == (Outcome.AHEAD, "K", "processor")
    assert (gap.method, gap.allowance) == ("t over readings", SENSOR_K)


def test_a_warmer_room_is_taken_off():
    cool = [reading("wren", 36.0, k) for k in (40.0, 40.5, 39.8)]
    warm = [reading("plover", 36.0, k, room=30.0) for k in (46.0, 45.5, 46.4)]
    gap = one(*cool, *warm)
    assert gap.difference == pytest.approx(40.1 - 45.9667, abs=1e-3)


def test_over_a_range_lines_are_compared_in_the_middle_of_what_both_cover():
    gap = one(
        *along("wren", [32.0, 34.0, 36.0, 38.0], 40.0, noise=[0.2, -0.3, 0.1, 0.0]),
        *along("plover", [35.0, 37.0, 39.0, 41.0], 47.0, slope=-1.5, noise=[-0.1, 0.2, 0.1, -0.2]),
    )
    low, high = subtract(35.0, BACKGROUND), subtract(38.0, BACKGROUND)
    assert gap.at_db == pytest.approx((low + high) / 2)
    assert gap.difference == pytest.approx(40.0 - 0.4 - (47.0 - 0.6), abs=0.3)
    assert gap.method == "t over two lines"
    assert gap.outcome is Outcome.AHEAD


def test_numbers_worked_by_hand_on_two_lines():
    """Levels far above the room; at 37 dB lines of 50, 48, 46.3 and 60, 58.4, 56 over 35, 37, 39.

    Heights 48.1 and 58.1333; left over 0.015 and 0.10667 on one degree each, pooled 0.060833; leverage 1/3
    each: error 0.20138, times 4.3027 on two.
    """
    gap = one(
        *[
            reading("wren", x, y, background=-60.0)
            for x, y in zip((35, 37, 39), (50.0, 48.0, 46.3), strict=True)
        ],
        *[
            reading("plover", x, y, background=-60.0)
            for x, y in zip((35, 37, 39), (60.0, 58.4, 56.0), strict=True)
        ],
    )
    assert gap.difference == pytest.approx(-10.03333, abs=1e-4)
    assert gap.high is not None
    assert gap.difference is not None
    assert gap.high - gap.difference == pytest.approx(0.20138 * 4.30265, abs=1e-3)


def test_levels_that_never_meet_are_refused_in_words():
    gap = one(*along("wren", [30.0, 31.0, 32.0], 40.0), *along("plover", [36.0, 37.0, 38.0], 40.0))
    assert (gap.difference, gap.outcome) == (None, Outcome.UNSETTLED)
    assert gap.why is not None
    told = gap.why.told()
    assert told == "no levels in common: wren was read from 29.5 to 31.7 dB, plover from 35.9 to 37.9 dB"


def test_where_a_line_is_out_of_reach_the_readings_at_like_levels_are_taken():
    gap = one(
        *at_level("wren", [40.0, 40.4]), reading("wren", 45.0, 33.0), *at_level("plover", [44.0, 44.5]),
    )  # fmt: skip
    assert (gap.n_a, gap.n_b) == (2, 2)
    assert gap.difference == pytest.approx(40.2 - 44.25)


def test_one_reading_each_shows_a_difference_and_no_more():
    gap = one(reading("wren", 36.0, 40.0), reading("plover", 36.2, 47.0))
    assert (gap.difference, gap.low, gap.outcome) == (pytest.approx(-7.0), None, Outcome.UNSETTLED)


def test_readings_without_room_background_or_enough_sound_are_left_out_and_told():
    gap = one(
        *at_level("wren", [40.0, 40.5, 39.8]), reading("wren", 36.0, 40.0, room=None),
        reading("wren", 22.0, 40.0), reading("wren", 36.0, 40.0, background=None),
        *at_level("plover", [46.0, 45.5, 46.4]),
    )  # fmt: skip
    assert gap.n_a == 3
    left = next(c for c in gap.caveats if c.key == "unusable")
    assert left.told() == "wren: 3 of 6 readings lack a room, a background, or 3 dB above it"


def test_nothing_read_of_a_part_on_one_side_is_said():
    gap = one(*at_level("wren", [40.0, 40.5, 39.8]))
    assert gap.why is not None
    told = gap.why.told()
    assert told == "plover: no reading tells level, room and the temperature of the processor together"


def test_parts_and_tests_are_kept_apart():
    made = [reading(s, 36.0, 40.0, part=p) for s in ("wren", "plover") for p in ("processor", "graphics")]
    gaps = temperatures_at_equal_noise(made, setups=("wren", "plover"))
    assert [gap.part for gap in gaps] == ["processor", "graphics"]


def test_turning_the_pair_round_turns_the_sign():
    made = [*along("wren", [32.0, 34.0, 36.5], 40.0), *along("plover", [33.0, 35.0, 37.0], 44.0, slope=-1.3)]
    gap, other = one(*made), one(*made, setups=("plover", "wren"))
    assert gap.difference == pytest.approx(-(other.difference or np.nan))
