"""Setups that were not what they were said to be, and anchors that drift, told beside what stands on them."""

from __future__ import annotations

from collections.abc import Collection

from evenhand.findings.caveats import DOUBTED
from evenhand.findings.drifting import DRIFTS
from evenhand.findings.finding import Caveat
from evenhand.publish.names import Names

WHY = (
    "another setup of the same machine gained more speed than its clock was raised by, which a clock alone "
    "cannot do"
)


DRIFTED = "drifts from day to day: nothing is called that its drift could make"


def but_doubted(caveats: Collection[Caveat], names: Names) -> tuple[str, ...]:
    """A sentence for each setup that these caveats doubt; it follows what was said of it."""
    doubted = dict.fromkeys(names.setup(caveat.setups[0]) for caveat in caveats if caveat.key == DOUBTED)
    drifting = dict.fromkeys(names.setup(caveat.setups[0]) for caveat in caveats if caveat.key == DRIFTS)
    return (
        *(f"But {each} was not what it was said to be: {WHY}." for each in doubted),
        *(f"But {each}, run before and since, {DRIFTED}." for each in drifting),
    )
