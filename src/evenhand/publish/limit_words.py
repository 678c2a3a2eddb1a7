"""What limits a test, in words: each slope that was measured, what it says, and what tuning gained."""

from __future__ import annotations

from evenhand.findings.leanings import Leaning
from evenhand.findings.scaling import TOGETHER, Slope
from evenhand.publish.names import Names
from evenhand.publish.numbers import decimals_for, listed, number


def slope_words(slope: Slope) -> str:
    """A slope with its interval: "0.82 (0.71 to 0.93)"."""
    if slope.low is None or slope.high is None:
        return f"{number(slope.value, 1, signed=True)}, one run"
    places = min(max(decimals_for((slope.high - slope.low) / 2), 1), 2)
    ends = f"{number(slope.low, places)} to {number(slope.high, places)}"
    return f"{number(slope.value, places)} ({ends})"


def evidence_words(slope: Slope, leaning: Leaning) -> str:
    """One piece of evidence as a sentence: the elasticity or slope, and what it says by itself."""
    over = "all clocks together" if slope.setting == TOGETHER else slope.setting
    return f"Slope of the rate over {over} {slope_words(slope)}: {leaning.value}."


def gain_words(slope: Slope, names: Names) -> str:
    """What tuning gained in one test for each per cent of the clock that rose most."""
    said = f"{names.test(slope.test)}: {_gained(slope)} for each 1\u00a0% of {slope.setting}"
    if slope.along:
        said += f", which rose together with {listed(slope.along)}"
    if slope.surely_above_one:
        return f"{said}: more than the clock did, so the baseline was not what it was said to be."
    return f"{said}{'' if slope.low is not None else ', which settles nothing'}."


def _gained(slope: Slope) -> str:
    """An elasticity as per cent: "the rate gained 0.82 % (0.71 to 0.93)"."""
    if slope.low is None:
        return f"the rate gained {number(slope.value, 1)}\u00a0% (one run)"
    value, ends = slope_words(slope).split(" ", 1)
    return f"the rate gained {value}\u00a0% {ends}"
