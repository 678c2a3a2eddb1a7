"""A difference in decibels or kelvins is decided as any finding is: level first, then ahead or behind."""

import pytest

from evenhand.findings.finding import Outcome
from evenhand.findings.gaps import Draft, Gap, Topic, judged


def draft(difference, *, se=0.2, df=8.0, allowance=0.0, margin=1.0):
    gap = Gap(
        topic=Topic.SOUND, a="wren", b="plover", difference=difference, margin=margin, allowance=allowance
    )  # fmt: skip
    return Draft(gap=gap, se=se, df=df)


@pytest.mark.parametrize(
    ("difference", "outcome"),
    [(-3.0, Outcome.AHEAD), (3.0, Outcome.BEHIND), (0.1, Outcome.LEVEL), (0.8, Outcome.BEHIND)],
)
def test_lower_is_better(difference, outcome):
    (gap,) = judged([draft(difference)])
    assert gap.outcome is outcome


def test_the_interval_is_that_of_student():
    """t of 8 degrees of freedom: 2.306 at 95 %, 1.8595 at 90 %, from any table."""
    (gap,) = judged([draft(-3.0, allowance=0.5)])
    assert (gap.low, gap.high) == pytest.approx((-3.4612, -2.5388), abs=1e-4)
    assert (gap.bound_low, gap.bound_high) == pytest.approx((-3.8719, -2.1281), abs=1e-4)


def test_an_allowance_holds_back_what_lies_within_it():
    (gap,) = judged([draft(-1.2, allowance=1.0)])
    assert gap.outcome is Outcome.UNSETTLED
    assert [c.key for c in gap.caveats] == ["ahead-withheld"]


def test_many_readings_together_ask_for_more():
    """p of 0.02 alone is called at .03, and not beside five others."""
    one, other = draft(-0.58, margin=0.5), draft(0.3, margin=0.5)
    alone, among = judged([one])[0], judged([one, *[other] * 5])[0]
    assert (alone.outcome, among.outcome) == (Outcome.AHEAD, Outcome.UNSETTLED)
    assert [c.key for c in among.caveats] == ["family-withheld"]


def test_without_a_spread_nothing_is_called():
    (gap,) = judged([draft(-3.0, se=None)])
    assert (gap.low, gap.p, gap.outcome) == (None, None, Outcome.UNSETTLED)
