"""Setups that were not what they were said to be, told beside whatever stands on them."""

from __future__ import annotations

from collections.abc import Iterable

from evenhand.findings.caveats import DOUBTED
from evenhand.findings.finding import Caveat
from evenhand.publish.names import Names

WHY = (
    "another setup of the same machine gained more speed than its clock was raised by, which a clock alone "
    "cannot do"
)


def but_doubted(caveats: Iterable[Caveat], names: Names) -> tuple[str, ...]:
    """A sentence for each setup that these caveats doubt; it follows what was said of it."""
    doubted = dict.fromkeys(names.setup(caveat.setups[0]) for caveat in caveats if caveat.key == DOUBTED)
    return tuple(f"But {each} was not what it was said to be: {WHY}." for each in doubted)
