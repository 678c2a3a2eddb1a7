"""Limits for the course of a run: where along the scene it loses or gains time against its siblings."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.triage.limits.limit import limit


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveLimits:
    """How the course of a run is drawn, and how two courses are laid over each other."""

    window_frames: int = limit(61, "frames", "a median over a second or so follows the scene, not hitches")
    calm_factor: float = limit(1.8, "ratio", "a frame this much longer than those around it is no calm one")
    calm_add_ms: float = limit(8.0, "ms", "nor one that is longer by this much, where frames are short")
    calm_add_share: float = limit(0.6, "share", "or by this share, where frames are long")
    bin_s: float = limit(0.5, "s", "long enough for a steady median, short enough to place a fault")
    slow_bin_s: float = limit(1.0, "s", "the same, where frames are long")
    slow_above_ms: float = limit(25.0, "ms", "under 40 frames a second half a second holds too few")
    least_calm: int = limit(4, "frames", "a median of fewer is one frame's word")
    most_lag_s: float = limit(12.0, "s", "nobody starts a log further off than this without noticing")
    most_lag_share: float = limit(0.4, "share", "two takes must have more than half the scene in common")
    lag_gain: float = limit(0.2, "share", "a shift must bring the courses this much nearer to be believed")
    distance_cap: float = limit(0.3, "ln ratio", "a pause in one of two takes must not decide how they align")
    fewest_bins: int = limit(6, "bins", "fewer have no course")
    gate: float = limit(
        0.035,
        "ln ratio",
        "where good pairs differ this much along the scene, its course cannot hold a run",
    )
