"""What a tuned setup costs beside a stock one: watts on top, work for a joule; how work follows a clock."""

from __future__ import annotations

import math
from collections.abc import Sequence

from evenhand.findings.finding import Finding, Index
from evenhand.findings.outcomes import SHOWN_INTERVAL
from evenhand.findings.scaling import Slope
from evenhand.stats.special_functions import special
from evenhand.tuning.bands import Band, Known


def mean_elasticity(slopes: Sequence[Slope]) -> Known | None:
    """The mean elasticity of tests whose interval is known; None where none is.

    Tests of one bench day share what boots and rooms do to them, so that their errors are taken to be the
    same error: the mean is as unsure as its tests are on average. One that lies surely above 1 tells of a
    baseline that was not what it was said to be, and is left out.
    """
    sound = [each for each in slopes if tells_elasticity(each)]
    if not sound:
        return None
    reach = float(special.ndtri((1 + SHOWN_INTERVAL) / 2))
    halves = [((each.high or 0.0) - (each.low or 0.0)) / 2 for each in sound]
    value = sum(each.value for each in sound) / len(sound)
    return Known(value=value, sd=sum(halves) / len(halves) / reach)


def tells_elasticity(slope: Slope) -> bool:
    """Whether a slope has an interval, and does not lie surely above 1."""
    return slope.low is not None and slope.high is not None and not slope.surely_above_one


def added_watts(over: Index | Finding, stock_w: float, tuned_w: float) -> Band | float:
    """Watts on top, as means of the same tests; a bare number where `over` has no interval.

    The mean of differences is that of no one ratio: what a part draws on top weighs more on a test that draws
    little. So the value is that of the means, and of `over`, a ratio over tests weighed by their watts, only
    the relative error is taken: to the first order that is the error of the difference.
    """
    value = tuned_w - stock_w
    if over.low is None or over.high is None:
        return value
    reach = (tuned_w + stock_w) / 2 * math.log(over.high / over.low) / 2
    return Band(value=value, low=value - reach, high=value + reach)


def work_per_joule(gain: Index | Finding, watts: Index | Finding) -> Band | None:
    """Work for a joule over that of stock: the gain by the watts, errors as if they were independent.

    None where one has no interval, or where they are of other tests.
    """
    if not (gain.ratio and watts.ratio and gain.low and gain.high and watts.low and watts.high):
        return None
    if _tests(gain) != _tests(watts):
        return None
    value = math.log(gain.ratio) + math.log(watts.ratio)
    reach = math.hypot(math.log(gain.high / gain.low) / 2, math.log(watts.high / watts.low) / 2)
    return Band(value=math.exp(value), low=math.exp(value - reach), high=math.exp(value + reach))


def _tests(found: Index | Finding) -> set[str]:
    return set(found.tests) if isinstance(found, Index) else {found.test}
