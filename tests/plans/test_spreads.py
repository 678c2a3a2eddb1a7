"""Where the expected spread of a test comes from."""

from __future__ import annotations

import math

import pytest

from evenhand.plans.spreads import DEFAULT_SD, Source, expected_spreads


def test_nothing_known_is_one_per_cent() -> None:
    told = expected_spreads(("a",), own={}, past={})["a"]
    assert (told.scatter.sd, told.scatter.lent_df, told.source) == (DEFAULT_SD, 0.0, Source.DEFAULT)


def test_a_tests_own_runs_come_first_and_are_drawn_to_the_other_tests() -> None:
    told = expected_spreads(("a", "b"), own={"a": (4e-4, 4.0), "b": (1e-4, 4.0)}, past={"a": (9e-4, 50.0)})
    assert told["a"].source is Source.OWN
    assert math.sqrt(1e-4) < told["a"].scatter.sd < math.sqrt(4e-4)
    assert told["a"].scatter.lent_df > 0


def test_earlier_studies_come_before_the_other_tests() -> None:
    told = expected_spreads(("a", "b"), own={"b": (1e-4, 4.0)}, past={"a": (9e-4, 50.0)})
    assert told["a"].source is Source.PAST
    assert told["a"].scatter.sd == pytest.approx(0.03)


def test_without_a_past_the_other_tests_speak() -> None:
    told = expected_spreads(("a", "b"), own={"b": (1e-4, 4.0)}, past={})
    assert told["a"].source is Source.OTHERS


def test_runs_alike_to_the_last_digit_teach_nothing() -> None:
    assert expected_spreads(("a",), own={"a": (0.0, 4.0)}, past={})["a"].source is Source.DEFAULT
