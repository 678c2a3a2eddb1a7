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
    least_calm: float = limit(0.4, "share", "a bin that calm frames hardly cover says nothing of the scene")
    most_lag_s: float = limit(12.0, "s", "nobody starts a log further off than this without noticing")
    most_lag_share: float = limit(0.4, "share", "two takes must have more than half the scene in common")
    lag_gain: float = limit(0.2, "share", "a shift must bring the courses this much nearer to be believed")
    lag_least: float = limit(0.01, "ln ratio", "courses as near as this need no shift by seconds")
    lag_agreement: float = limit(
        0.4, "r", "courses that do not resemble each other after it were not shifted"
    )
    held_beyond: float = limit(0.1, "ln ratio", "nor may it decide where a lag is looked for")
    distance_cap: float = limit(0.3, "ln ratio", "a pause in one of two takes must not decide how they align")
    hitched_s: float = limit(0.3, "s", "long frames of less in all do not move two takes apart")
    same_count: float = limit(0.01, "ln ratio", "a scene played frame by frame has a fixed number of them")
    nearly_same_count: float = limit(
        0.02,
        "ln ratio",
        "takes of one length by the clock hold as many frames but for their levels",
    )
    other_length: float = limit(
        0.1, "ln ratio", "takes of as many frames whose lengths differ by more were not stopped by a clock"
    )
    fewest_bins: int = limit(6, "bins", "fewer have no course")


@dataclass(frozen=True, slots=True, kw_only=True)
class PauseLimits:
    """When long frames are a pause, in which the run stands still."""

    least_frame_ms: float = limit(100.0, "ms", "shorter ones are hitches: frames still follow each other")
    gap_s: float = limit(0.5, "s", "long frames closer than this belong to one pause")
    least_lost_s: float = limit(1.0, "s", "a single hitch, however bad, is no pause")
    around_frames: int = limit(30, "frames", "calm frames on either side that say what is usual")
