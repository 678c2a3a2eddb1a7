"""Limits for what sensors tell of a run."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.triage.limits.limit import limit


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrottleLimits:
    """When a clock falls while the part is at load."""

    fall: float = limit(
        0.022, "ln ratio", "clocks wander by one step of 25 MHz in 4,000; 2.2 % is more than that"
    )
    load_share: float = limit(
        0.8, "share of P75", "samples at load: at least 80 % of the load's upper quartile"
    )
    least_load_pct: float = limit(60.0, "%", "a part that waits for another one lowers its clock by right")
    power_fall: float = limit(0.05, "ln ratio", "power that falls with the clock by this much was limited")
    skip_s: float = limit(
        5.0, "s", "parts climb to load, and boost for a few seconds that no run can keep up"
    )
    fewest: int = limit(16, "samples", "four in each quarter")
    least_loaded: int = limit(9, "samples", "four on either side of a step, and one")
    boost_share: float = limit(0.25, "share of the log", "what ends so early is a boost, not a fall")
    clear_tail_s: float = limit(4.0, "s", "a step of two steps of the clock and more need not last as long")
    mean_share: float = limit(0.75, "ratio", "and their means by most of that")
    short_s: float = limit(30.0, "s", "over less than this a clock that wanders by steps may seem to fall")
    short_fall: float = limit(0.04, "ln ratio", "so a short run must fall by two such steps")
    tail_s: float = limit(20.0, "s", "a step down must last this long to count as one")
    errors: float = limit(
        4.0, "standard errors", "quarters of a jumping clock differ by chance: ask for four"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingsLimits:
    """When readings stopped telling anything."""

    fewest: int = limit(10, "samples", "fewer cannot show that they stopped changing")
    frozen_s: float = limit(15.0, "s", "no machine at work repeats every reading for this long")
    never_alone: int = limit(3, "channels", "one or two may stand still by right, three do not")
    hole_share: float = limit(0.2, "share of the run", "what happens in so long a hole is not seen")
    edge_share: float = limit(
        0.05, "share of the run", "nor what happens before the first reading and after the last"
    )
    edge_steps: float = limit(2.5, "steps", "a log that reads once a second may begin and end a step late")
    least_known: float = limit(0.5, "share of readings", "a channel that is mostly empty tells little")
    lively: float = limit(
        0.25, "share of steps", "readings that went up and down so often do not all rest by chance"
    )
    frozen_share: float = limit(0.1, "share of the log", "nor for this part of a run")


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerLimits:
    """When a part draws less than its siblings allow it."""

    below: float = limit(0.05, "ln ratio", "agreed by all siblings; readings of one part repeat within 2 %")
    spreads: float = limit(3.0, "spreads", "or three spreads of the siblings, where these scatter more")
    held_share: float = limit(0.5, "share of samples", "a limit shows as a ceiling: half of the samples")
    held_within: float = limit(0.02, "ln ratio", "what counts as at the ceiling")
    slower: float = limit(0.005, "ln ratio", "and clock or rate must be lower, or it saves power by right")


@dataclass(frozen=True, slots=True, kw_only=True)
class FanLimits:
    """When a fan stopped while its part was at work."""

    falls_to: float = limit(0.4, "ratio", "no controller slows a fan so far while its part stays warm")
    lasts_s: float = limit(8.0, "s", "shorter is a reading that was missed")
    warmer_c: float = limit(3.0, "°C", "a fan that slows by right does so while the part cools")


@dataclass(frozen=True, slots=True, kw_only=True)
class MemoryLimits:
    """When memory ran full."""

    at_top: float = limit(0.005, "share", "what counts as at the ceiling: half a per cent under it")
    stays: float = limit(
        0.8,
        "share of samples",
        "from then on at the ceiling: memory is given back and taken again",
    )
    top_share: float = limit(0.15, "share of samples", "a ceiling is a stretch, a peak is a sample")
    rises_by: float = limit(0.02, "share", "a run that begins at the ceiling has not been seen to reach it")
    corner_s: float = limit(6.0, "s", "use that ran into a ceiling was still climbing so shortly before")
    more_hitches: float = limit(3.0, "ratio", "a full memory shows: three times the hitches of before")
    least_hitches: int = limit(6, "hitches", "and so many at least: fewer come together by chance")


@dataclass(frozen=True, slots=True, kw_only=True)
class BackgroundLimits:
    """When something else was at work."""

    share_pct: float = limit(5.0, "% of the machine", "above every sibling's mean: moves a rate by 1 to 5 %")
    burst_pct: float = limit(20.0, "% of the machine", "a burst above this, where siblings have none")
    burst_s: float = limit(3.0, "s", "and as long as this")
    alone_pct: float = limit(15.0, "% of the machine", "without siblings: only told")
    names: tuple[str, ...] = limit(
        ("other programs", "background"), "names", "what a layout calls the load of everything but the test"
    )
    own_names: tuple[str, ...] = limit(
        ("test program", "own program"),
        "names",
        "what it calls the load of the test itself: the rest is other programs",
    )
