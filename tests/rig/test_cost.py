"""What taking part costs is measured by the program itself."""

from __future__ import annotations

from evenhand.rig.cost import Meter


def test_the_cost_is_that_of_this_program_alone() -> None:
    meter = Meter()
    assert meter.cost().share_pct is None  # too short to say
    sum(range(3_000_000))
    meter._begin -= 20
    share = meter.cost().share_pct
    assert share is not None
    assert 0 < share < 50
