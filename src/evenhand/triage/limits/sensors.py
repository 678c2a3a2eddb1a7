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
    skip_s: float = limit(1.0, "s", "the first second still climbs to load")
    fewest: int = limit(16, "samples", "four in each quarter")
    tail_s: float = limit(20.0, "s", "a step down must last this long to count as one")
    errors: float = limit(
        4.0, "standard errors", "quarters of a jumping clock differ by chance: ask for four"
    )
