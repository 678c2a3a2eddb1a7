"""What is advised of a part whose clock alone is tuned, since its voltage is left alone, in words."""

from __future__ import annotations

import math
from collections.abc import Mapping

from evenhand.publish.numbers import level_words, number, with_unit
from evenhand.publish.tuning.words import allowed_words, clock_words, hours_words
from evenhand.tuning.advice import Advice, Withheld
from evenhand.tuning.clock_alone import ClockProspect


def clock_advice_words(
    advice: Advice, target: str, todo: Mapping[Withheld, str], *, readers: bool = False
) -> str:
    """The highest clock that is advised with its guard band, or why there is none and what to do."""
    if advice.withheld is not None:
        return f"No clock is advised: {advice.withheld.value}. {todo[advice.withheld]}"
    if advice.meets_mhz is None or advice.guard_band_mhz is None or advice.reserve_mhz is None:
        return ""
    likely, surely = (whole_clock(each) for each in advice.meets_mhz)
    said = f"Set {clock_words(advice.clock_mhz)}, and leave the voltage to the part. "
    if readers:
        said = f"{clock_words(advice.clock_mhz)} was advised, for this one part: copy it to no other. "
    said += f"For at most {target} most likely {likely} is low enough, and {surely} at "
    said += f"{level_words(advice.goal.share)} by what the trials tell; the step of the firmware below that "
    said += "is advised, within the limit. The guard "
    said += f"band, from the edge down to the advised clock, is {mhz(advice.guard_band_mhz)}; "
    said += f"{mhz(advice.reserve_mhz)} of it are the reserve for what the trials leave open."
    return said if advice.limit is None else f"{said} {allowed_words(advice.limit)}"


def clock_row(advice: Advice) -> tuple[str, ...]:
    """The same in cells: clock, what to set or why nothing, what is low enough, guard band, reserve."""
    clock = clock_words(advice.clock_mhz)
    if advice.meets_mhz is None or advice.guard_band_mhz is None or advice.reserve_mhz is None:
        return clock, advice.withheld.value if advice.withheld else "", "", "", "", ""
    likely, surely = (whole_clock(each) for each in advice.meets_mhz)
    share = level_words(advice.goal.share)
    return (
        clock, "its own voltage", likely, f"{surely} at {share}", mhz(advice.guard_band_mhz),
        mhz(advice.reserve_mhz),
    )  # fmt: skip


def clock_outlook_words(clock_mhz: float, found: ClockProspect) -> str:
    """What some hours at a clock would change, as a sentence."""
    held, failed, now = map(whole_clock, (found.if_held_mhz, found.if_failed_mhz, found.now_mhz))
    chance = with_unit(number(100 * found.holds), "%")
    return (
        f"Another {hours_words(found.hours)} at {clock_words(clock_mhz)}: it holds with a chance of "
        f"{chance}, and then {held} would be low enough in place of {now}; if it fails, {failed}."
    )


def whole_clock(clock_mhz: float) -> str:
    r"""A clock in whole MHz, rounded down.

    >>> whole_clock(3298.7)
    '3,298\xa0MHz'
    """
    return clock_words(float(math.floor(clock_mhz)))


def mhz(value: float) -> str:
    """A difference of clocks in whole MHz."""
    return with_unit(number(value), "MHz")
