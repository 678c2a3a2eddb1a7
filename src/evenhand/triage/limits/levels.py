"""Limits for a run whose numbers stand apart from its siblings."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.triage.limits.limit import limit


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelLimits:
    """When a run's headline number stands apart from its siblings."""

    least_gap: float = limit(0.015, "ln ratio", "agreed by all siblings; less moves no sentence")
    p_few: float = limit(0.005, "p", "two-sided, up to three runs: few siblings, more caution")
    p_many: float = limit(0.008, "p", "two-sided, four runs or more")
    no_peer_factor: float = limit(
        0.5, "ratio", "without another setup as witness false holds double: halve p"
    )
    few_runs: int = limit(3, "runs", "where few ends")
    noisy_spread: float = limit(
        0.03, "ln ratio", "a test that scatters by 3 % cannot hold a run: it is only told"
    )
    least_spread: float = limit(
        0.0005, "ln ratio", "a cell without any spread (a held rate) teaches no spread"
    )
