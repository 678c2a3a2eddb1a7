"""What one machine is worth beside another, and whether two of level value are shown to be level."""

from __future__ import annotations

import math

from evenhand.money.break_even import BreakEven, break_even, is_near
from evenhand.verdicts.standing import Summed


def worth_of(merit: Summed, other_minor: float, *, fixed_minor: int) -> BreakEven | None:
    """The price of a at which it gives as much as b for `other_minor`; None without an interval.

    `merit` is of one state, by all that the audience weighs but the price itself.
    """
    half = float(merit.half_shown[0])
    if not math.isfinite(half):
        return None
    wider = half + float(merit.allowance[0])
    return break_even(other_minor, effect=float(merit.d[0]), half=wider, fixed_minor=fixed_minor)


def is_open(even: BreakEven | None, price_minor: float, *, margin: float) -> bool:
    """Of a level value, whether it is not shown to be one: a may be worth more or less by over the margin."""
    return even is not None and not is_near(price_minor, against=even, margin=margin)
