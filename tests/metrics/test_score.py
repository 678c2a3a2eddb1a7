"""A score is kept as written; what has no ratio is refused."""

import math

import pytest

from evenhand.errors import BadRecord
from evenhand.metrics.definitions import definition
from evenhand.metrics.score import score_metrics


def test_a_score_stands_under_its_own_definition() -> None:
    assert dict(score_metrics(3.1).values) == {"score": 3.1}
    assert definition("score").rankable


@pytest.mark.parametrize("score", [0.0, -2.0, math.nan, math.inf])
def test_a_score_without_a_logarithm_is_refused(score: float) -> None:
    with pytest.raises(BadRecord, match="cannot be compared as a ratio"):
        score_metrics(score)
