"""What runs upward on a map of a tuned part, and its axes among all that stands around the plot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from evenhand.publish.figures.axes import Axes, guttered, on_steps, stepped
from evenhand.publish.figures.frame import Frame
from evenhand.publish.figures.tuning.plot import shown_limit
from evenhand.publish.figures.tuning.scene import TuningMap
from evenhand.publish.svg import Box

AIR = 0.07  # of what a map shows: left free above and below
LEAST_STEPS = 2.5  # so many steps of what runs upward are shown at least: ticks are at what can be set

Ends = tuple[float, float, float]
"""The lower end, the middle and the upper end of where an edge may be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Upward:
    """From where to where a map shows what runs upward, and the limit where it is near enough to be drawn."""

    low: float
    high: float
    limit: float | None


def upward_of(
    found: TuningMap,
    tried: Sequence[float],
    edges: Iterable[Ends],
    *,
    least: float,
    beyond: float,
    near: float,
) -> Upward:
    """What a map shows of what runs upward, in its unit.

    All that was `tried`, and `least` so much. Of where an edge may be no more than tells something: so much
    `beyond` what was tried, as a share of that. The limit, where it lies no farther above than `near`, as a
    share of what is shown.
    """
    known = tried or [0.0 if found.limit is None else found.limit.most]
    low, high = min(known), max(known)
    least = max(least, LEAST_STEPS * found.step)
    span = beyond * max(high - low, least)
    for lower, _, upper in edges:
        low, high = min(low, max(lower, low - span)), max(high, min(upper, high + span))
    spare = max(least - (high - low), 0.0) / 2
    low, high = low - spare, high + spare
    most = None if found.limit is None else found.limit.most
    return Upward(low=low, high=high, limit=shown_limit(most, low, high, near=near))


def axes_of(
    found: TuningMap, within: Frame, upward: Upward, *, across: float, top: float, named: float
) -> Axes:  # fmt: skip
    """The axes in a frame, below `top` (px), with 0 to `across` as what runs across.

    Names at the right take the share `named` of the width.
    """
    style, body, size = within.style, within.body, within.style.text[1]
    air = AIR * (upward.high - upward.low)
    most = upward.high if upward.limit is None else upward.limit + 2 * air
    box = Box(
        left=body.left, top=top + 0.2 * size, bottom=body.bottom - 1.35 * size,
        right=body.right - (named * (body.right - body.left) or 0.4 * size),
    )  # fmt: skip
    low, high = upward.low - air, max(upward.high + air, most)
    axes = stepped(Axes(box=box, style=style, end_s=across, low=low, high=high))
    axes = on_steps(axes, found.step, found.step_from)
    return guttered(axes, "MHz") if found.clock_alone else guttered(axes, "mV", signed=found.offset)
