"""The page Verdict before it is shown."""

from __future__ import annotations

import pytest
from tests.publish import saltmarsh as s

from evenhand.desk.pages.verdict_figure import weight_figure
from evenhand.desk.verdict.verdict_curve import Curve
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_plot import Lead

ABOUT = Pair(a="plover", b="dunlin", names=s.NAMES, margin=0.03, level=0.95)
LEAD = Lead(shares=(0.0, 0.5, 1.0), percent=(-3.0, 0.0, 3.0), low=(-4.0, -1.0, 2.0), high=(-2.0, 1.0, 4.0))


@pytest.mark.parametrize(
    ("allowed", "ends"), [(False, "interval"), (True, "the allowance for a shared error not in it")]
)
def test_the_lead_says_what_its_interval_leaves_out(allowed: bool, ends: str) -> None:
    figure = weight_figure(Curve(weight="games", lead=LEAD, stands=(), allowed=allowed), ABOUT)
    assert figure.about.endswith(ends)
