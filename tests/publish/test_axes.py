"""The scale of a view: round values that stand apart, and never one alone about no difference."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.publish.figures.axes import APART, Axes, stepped
from evenhand.publish.style import card
from evenhand.publish.svg import Box

STYLE = card()
SIZE = STYLE.text[1]


def axes(low: float, high: float, *, tall: float) -> Axes:
    """A view that is as high as so many lines of words."""
    box = Box(left=0, top=0, right=1000, bottom=tall * SIZE)
    return stepped(Axes(box=box, style=STYLE, end_s=60.0, low=low, high=high))


@pytest.mark.parametrize("tall", [3.3, 3.9, 5.0])
def test_a_scale_about_no_difference_shows_two_values_that_stand_apart(tall: float) -> None:
    for low, high in np.random.default_rng(4).uniform(1.0, 200.0, (300, 2)):
        found = axes(-low, high, tall=tall)
        pixels = [found.y(tick) for tick in found.ticks]
        assert len(found.ticks) > 1, (low, high)
        assert min(-np.diff(pixels)) >= APART * SIZE * (1 - 1e-9)


def test_a_step_is_less_round_only_where_a_round_one_would_show_one_value() -> None:
    assert axes(-40.0, 45.0, tall=3.3).ticks == [-30.0, 0.0, 30.0]
    assert axes(-23.0, 31.0, tall=3.3).ticks == [0.0, 20.0]
