from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.finding import Outcome
from evenhand.publish.standing import shown_by_bounds, standing

LEVEL, AHEAD = s.PAIR[4], s.PAIR[0]


def test_level_is_shown_by_the_interval_held_against_the_margin_and_says_so():
    span = standing(LEVEL)
    assert span is not None
    assert (span.low, span.high) == pytest.approx(
        (100 * (LEVEL.bound_low - 1), 100 * (LEVEL.bound_high - 1))
    )  # fmt: skip
    assert span.note == "90\u00a0%"
    assert -3 < span.low < span.high < 3


@pytest.mark.parametrize("outcome", [Outcome.AHEAD, Outcome.BEHIND, Outcome.UNSETTLED])
def test_everything_else_is_shown_by_its_confidence_interval(outcome):
    span = standing(replace(AHEAD, outcome=outcome))
    assert span is not None
    assert (span.low, span.high) == pytest.approx((100 * (AHEAD.low - 1), 100 * (AHEAD.high - 1)))
    assert not span.note


def test_an_index_is_shown_as_a_finding_is():
    assert [shown_by_bounds(index) for index in s.INDEXES] == [True, False, False]


def test_without_bounds_on_record_level_keeps_its_confidence_interval_and_claims_no_other():
    span = standing(replace(LEVEL, bound_low=None))
    assert span is not None
    assert not span.note
    assert span.low == pytest.approx(100 * (LEVEL.low - 1))


def test_without_a_number_there_is_nothing_to_show():
    assert standing(s.one_run("choir", None, n_a=0)) is None
