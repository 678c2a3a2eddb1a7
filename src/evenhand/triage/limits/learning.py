"""Limits for what the past may say of a run."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.triage.limits.limit import limit


@dataclass(frozen=True, slots=True, kw_only=True)
class LearningLimits:
    """How much past runs count."""

    most_weight: float = limit(
        60.0, "runs, pairs or minutes", "a patch can change a test: the past is no more than some sixty runs"
    )
