"""What a machine draws behind its supply, out of what a meter read at the wall."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from evenhand.fit.reading import Item
from evenhand.fit.said import of_kind

ROUNDS = 60  # halvings: far below a milliwatt


def handed_on(build: Sequence[Item], wall_w: float) -> float | None:
    """The share of what is taken from the wall that supplies hand on at this draw; None where not known.

    Of a single supply by its efficiency at the load that comes of it, between two loads in proportion and
    beyond the ends as at the ends; else the best single efficiency, since that hands on the most.
    """
    supplies = of_kind(build, "supply")
    if len(supplies) == 1:
        curve, rated_w = supplies[0].facts.get("efficiency_by_load"), supplies[0].facts.get("power_w")
        if curve and rated_w:
            return _solved(curve, wall_w, rated_w)
    told = [item.facts.get("efficiency") for item in supplies]
    known = [float(each) for each in told if each is not None]
    return max(known) / 100 if known and len(known) == len(told) else None


def at_load(curve: Mapping[str, float], percent: float) -> float:
    """The efficiency in % at a load in % of the rating.

    >>> at_load({"20": 88, "50": 92, "100": 89}, 35), at_load({"20": 88, "50": 92, "100": 89}, 5)
    (90.0, 88.0)
    """
    points = sorted((float(load), float(each)) for load, each in curve.items())
    if percent <= points[0][0]:
        return points[0][1]
    for (low, before), (high, after) in pairwise(points):
        if percent <= high:
            return before + (after - before) * (percent - low) / (high - low)
    return points[-1][1]


def _solved(curve: Mapping[str, float], wall_w: float, rated_w: float) -> float:
    """The largest share at which what is handed on is what its load says: of several the safest."""
    low, high = 0.0, 1.0
    for _ in range(ROUNDS):
        middle = (low + high) / 2
        if middle <= at_load(curve, 100 * middle * wall_w / rated_w) / 100:
            low = middle
        else:
            high = middle
    return low
