from __future__ import annotations

import pytest

from evenhand.publish.numbers import (
    counted,
    decimals_for,
    level_words,
    listed,
    margin_words,
    number,
    run_words,
    with_unit,
)
from evenhand.publish.spans import Span, estimate_words, percent, percent_span
from evenhand.records.estimates import Estimate

SPACE = "\u00a0"


@pytest.mark.parametrize(
    ("value", "low", "high", "words"),
    [
        (10.68, 8.91, 12.47, "10.7 (8.9 to 12.5)"),
        (-14.685, -16.2, -13.2, "−14.7 (−16.2 to −13.2)"),
        (165.04, 162.4, 167.6, "165.0 (162.4 to 167.6)"),
        (3.1, 3.062, 3.138, "3.10 (3.06 to 3.14)"),
        (8.7, 2.9, 14.9, "9 (3 to 15)"),
        (2.7, -30.4, 51.2, "3 (−30 to 51)"),
        (12_412.0, 11_980.0, 12_844.0, "12,412 (11,980 to 12,844)"),
        (0.4, -1.2, 2.0, "0.4 (−1.2 to 2.0)"),
        (-0.02, -1.1, 1.06, "0.0 (−1.1 to 1.1)"),
        (5.0, 0.3, 9.7, "5.0 (0.3 to 9.7)"),  # an end that is not zero is never rounded onto it
        (0.0123, 0.0119, 0.0127, "0.0123 (0.0119 to 0.0127)"),
        (88.0, None, None, "88.0"),
        (165.0, None, None, "165"),
    ],
)
def test_digits_follow_the_interval(value, low, high, words):
    assert Span(value=value, low=low, high=high).words("") == words


@pytest.mark.parametrize(
    ("uncertainty", "decimals"),
    [
        (1.0, 1),
        (3.54, 1),
        (3.56, 0),
        (9.4, 0),
        (9.6, 0),
        (0.95, 1),
        (0.12, 2),
        (0.4, 1),
        (41.0, -1),
        (0.0, 0),
    ],
)
def test_decimals_by_the_rule_of_the_particle_data_group(uncertainty, decimals):
    assert decimals_for(uncertainty) == decimals


@pytest.mark.parametrize(
    ("ratio", "low", "high", "words"),
    [
        (1.107, 1.089, 1.125, "+10.7 % (+8.9 to +12.5)"),
        (0.853, 0.838, 0.868, "−14.7 % (−16.2 to −13.2)"),
        (1.004, 0.988, 1.020, "+0.4 % (−1.2 to +2.0)"),
        (1.107, None, None, "+11 %"),  # one run each: the difference is rough, and looks it
        (2.0, 1.9, 2.1, "+100 % (+90 to +110)"),
    ],
)
def test_a_ratio_is_said_in_per_cent_with_true_minus_and_no_break_space(ratio, low, high, words):
    assert percent_span(ratio, low, high).words("%", signed=True) == words.replace(" %", f"{SPACE}%")


def test_a_distance_keeps_its_interval_the_right_way_round():
    assert percent_span(0.853, 0.838, 0.868).magnitude.words("%") == f"14.7{SPACE}% (13.2 to 16.2)"


@pytest.mark.parametrize(
    ("value", "decimals", "signed", "digits"),
    [
        (-14.68, 1, False, "−14.7"), (10.68, 1, True, "+10.7"), (-0.04, 1, True, "0.0"), (0.0, 0, True, "0"),
        (1234567.0, 0, False, "1,234,567"), (2.5, 0, False, "2"), (-0.6, 0, False, "−1"),
    ],
)  # fmt: skip
def test_numbers_in_digits(value, decimals, signed, digits):
    assert number(value, decimals, signed=signed) == digits
    assert "-" not in number(value, decimals, signed=signed)


def test_units_are_held_by_a_no_break_space_and_left_out_where_there_is_none():
    assert with_unit("88.0", "fps") == "88.0\u00a0fps"
    assert with_unit("1.2", "1") == with_unit("1.2", "") == "1.2"


def test_a_run_shows_four_digits():
    assert [run_words(v, "") for v in (143.87, 61.02, 3.1044, 12412.0)] == [
        "143.9",
        "61.02",
        "3.104",
        "12,412",
    ]


def test_an_estimate_carries_unit_and_interval():
    e = Estimate(value=13.1, unit="jobs/h", low=12.9, high=13.3, level=0.95, n=5, method="t")
    assert estimate_words(e) == f"13.10{SPACE}jobs/h (12.90 to 13.30)"


def test_counts_and_lists_are_words():
    assert [counted(n, "test") for n in (0, 1, 2, 12, 13)] == [
        "no tests", "one test", "two tests", "twelve tests", "13 tests",
    ]  # fmt: skip
    assert [listed(t) for t in ((), ("a",), ("a", "b"), ("a", "b", "c"))] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]


def test_margins_and_levels():
    assert (margin_words(0.03), margin_words(0.025), level_words(0.95)) == (
        "±3\u00a0%",
        "±2.5\u00a0%",
        "95\u00a0%",
    )


def test_percent_of_a_ratio_is_not_rounded():
    assert percent(1.1068) == pytest.approx(10.68)


@pytest.mark.parametrize(
    ("value", "decimals", "digits"),
    [
        (999_999_999_999.0, 0, "999,999,999,999"),
        (1e15, 0, "1.000×10^15"),
        (1.7e308, 0, "1.700×10^308"),
        (-1.1823e17, -15, "−1.18×10^17"),
        (1.234567e12, -8, "1.2346×10^12"),
        (12_400.0, -2, "12,400"),
        (5.0, 11, "5.000000"),
        (3.14e-8, 10, "3.14×10^−8"),
        (3.14e-8, 6, "0.000000"),
        (0.0, 10, "0.000000"),
    ],
)
def test_numbers_too_large_or_too_small_to_be_read_are_told_by_a_power_of_ten(value, decimals, digits):
    assert number(value, decimals) == digits


@pytest.mark.parametrize(
    ("value", "words"), [(1.65e302, "1.650×10^302 fps"), (1.65e-7, "1.650×10^−7 fps"), (165.24, "165.2 fps")]
)
def test_a_run_shows_four_digits_however_large_it_is(value, words):
    assert run_words(value, "fps").replace("\u00a0", " ") == words


def test_a_small_number_without_repeats_keeps_its_digits():
    assert Span(value=0.0012031, low=None, high=None).digits() == "0.00120"
    assert Span(value=-0.0004, low=None, high=None, alone=2).digits() == "0.0"  # of a per cent
