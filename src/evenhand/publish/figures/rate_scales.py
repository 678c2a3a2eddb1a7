"""Which tests of one unit share a scale of rates, and where that scale begins and ends."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.publish.figures.frame import LARGEST_DRAWN, nice_steps
from evenhand.publish.figures.rate_columns import Limits, Rate
from evenhand.publish.style import Style

APART = 5.0  # times: a test whose largest number is smaller by more has a scale of its own
FROM_ZERO = 0.25  # of the largest number: a scale that would begin below this begins at zero


def on_one_scale(blocks: Sequence[list[Rate]]) -> list[list[list[Rate]]]:
    """Tests of one direction and like magnitude together, in the order of each group's first test.

    On one scale a test of small numbers beside one of large would be a heap of marks at its beginning.
    """
    groups: list[list[list[Rate]]] = []
    for block in sorted(blocks, key=_largest, reverse=True):
        own = next((g for g in groups if _alike(g[0], block)), None)
        if own is None:
            groups.append([block])
        else:
            own.append(block)
    ordered = [sorted(group, key=blocks.index) for group in groups]
    return sorted(ordered, key=lambda group: blocks.index(group[0]))


def _alike(largest: list[Rate], block: list[Rate]) -> bool:
    same = largest[0].better is block[0].better
    return same and _largest(largest) <= APART * _largest(block)


def _largest(block: list[Rate]) -> float:
    return max(rate.average.value for rate in block)


def limits_of(rates: Sequence[Rate], style: Style) -> Limits:
    """Past every number and interval; from zero where that is not far."""
    estimates = [e for rate in rates for e in (rate.average, rate.low) if e is not None]
    lows = (e.value if e.low is None else e.low for e in estimates)
    highs = (e.value if e.high is None else e.high for e in estimates)
    low, high = (min(end, LARGEST_DRAWN) for end in (min(lows), max(highs)))
    if 0 < low < FROM_ZERO * high:
        low = 0.0
    spread = (high - low) or abs(high) * 0.1 or 0.1
    step = nice_steps(spread * 1.1, 8 if style.roomy else 4)
    return Limits(first=low - 0.06 * spread, last=high + 0.06 * spread, step=step)
