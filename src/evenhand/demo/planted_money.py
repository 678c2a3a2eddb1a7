"""What was planted in the prices of Saltmarsh, so that a demo can tell whether all of it was found."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from evenhand.demo.asked_prices import day_of
from evenhand.demo.truth import DUNLIN, PLOVER, WREN

FOR = "mostly-play"
TURNS: tuple[date, ...] = tuple(map(day_of, (21, 38, 70)))
"""Days on which Plover's price takes the better value from it, gives it to Dunlin, and brings it back."""

MOST_ALONE, MOST_WITH_DESK = WREN, PLOVER
"""Who gives most for the money by itself, and who with screen and desk besides: the trap of fixed costs."""

NET: Mapping[str, int] = {DUNLIN: 815, PLOVER: 886}
"""What the path of each costs in the end whose large card goes in once there is money for it."""
