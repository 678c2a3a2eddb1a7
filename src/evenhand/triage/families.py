"""Kinds of fault by family, and what each family may cost: the share of good runs it may hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Detectors that look at one side of a run.

    `budget` is the largest share of good runs that all of them together may hold; `why` says why so much.
    """

    name: str
    kinds: tuple[str, ...]
    budget: float
    why: str


FAMILIES = (
    Family(
        name="what the log says of itself",
        kinds=(
            "wrong-units",
            "bad-frame-times",
            "not-frames",
            "slipped-clock",
            "truncated",
            "damaged-log",
            "twin",
        ),
        budget=0.001,
        why="a log is broken or it is not: chance has no part in it",
    ),
    Family(
        name="what the run says of itself",
        kinds=("other-settings", "mixed-stamps", "room", "length", "too-short"),
        budget=0.001,
        why="words and degrees are exact; only the length of a take stopped by hand scatters",
    ),
    Family(
        name="held rates",
        kinds=("rate-cap", "lock-missed", "screen-steps"),
        budget=0.002,
        why="a still scene is the only thing that looks like a limiter",
    ),
    Family(
        name="level",
        kinds=("odd-level",),
        budget=0.006,
        why="the dearest fault to miss, and the one that chance imitates best",
    ),
    Family(
        name="course of the run",
        kinds=("slow-sag", "slow-stretch", "late-start", "wrong-scene"),
        budget=0.003,
        why="one measure of pairs seen in four ways: only the strongest of them is told",
    ),
    Family(
        name="frame by frame",
        kinds=("extra-hitches", "frame-scatter"),
        budget=0.005,
        why="hitches are counts: their tail is known, and fifteen more must not be missed",
    ),
    Family(
        name="sensors",
        kinds=("throttling", "power-limit", "fan-failure", "memory-full", "background-load"),
        budget=0.002,
        why="readings at load are steady; what falls for good has fallen",
    ),
)

BUDGET = 0.02
"""The share of good runs that triage may hold at all families together."""


def family_of(kind: str, families: tuple[Family, ...] = FAMILIES) -> Family | None:
    """The family of a kind, or None for a kind of no family (a log that cannot be read).

    >>> found = family_of("late-start")
    >>> found is not None and found.name
    'course of the run'
    """
    return next((family for family in families if kind in family.kinds), None)


def spent(held: Mapping[str, int], runs: int) -> Mapping[str, float]:
    """Share of `runs` good runs that each family held, from how many each kind held.

    >>> spent({"odd-level": 3, "late-start": 1}, 1000)["level"]
    0.003
    """
    return {f.name: sum(held.get(kind, 0) for kind in f.kinds) / runs for f in FAMILIES}
