"""What a plan is good for, test by test."""

from __future__ import annotations

import math

from evenhand.plans.looks import declared
from evenhand.plans.outlook import outlook
from evenhand.plans.power import Scatter
from evenhand.plans.spreads import Expected, Source

CALM = Expected(scatter=Scatter(sd=0.005, lent_df=3.0), source=Source.OWN)
NOISY = Expected(scatter=Scatter(sd=0.04, lent_df=3.0), source=Source.OWN)


def test_a_calm_test_shows_the_difference_and_a_noisy_one_does_not() -> None:
    seen = outlook(
        {"calm": CALM, "noisy": NOISY}, looks=declared((3, 5, 8)), comparisons=2, effect=math.log(1.03)
    )
    assert [test.shows for test in seen.tests] == [True, False]
    assert seen.showing == 1
    assert seen.tests[0].half < seen.tests[1].half


def test_more_comparisons_ask_for_more_runs() -> None:
    def needed(comparisons: int) -> int:
        one = outlook({"t": CALM}, looks=declared((3, 5, 8)), comparisons=comparisons, effect=math.log(1.01))
        assert one.tests[0].runs_needed is not None
        return one.tests[0].runs_needed

    assert needed(1) < needed(27)
