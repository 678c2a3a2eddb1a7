"""Limits for what a run says by itself, or by its bytes and stamps."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.triage.limits.limit import limit


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLimits:
    """When frame times cannot be milliseconds."""

    seconds_below_ms: float = limit(
        0.3, "ms", "a median under 0.3 ms would be more than 3,300 frames a second: the numbers are seconds"
    )
    micro_above_ms: float = limit(
        500.0,
        "ms",
        "a median over 500 ms would be fewer than 2 frames a second: the numbers are microseconds",
    )
    nano_above_ms: float = limit(
        500_000.0, "ms", "a median over 500 s: a thousand times more than microseconds would show"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BadFrameLimits:
    """When impossible frame times spoil a run."""

    blocks_above_share: float = limit(
        0.001, "share of rows", "one row in a thousand moves a 1% low by its own definition"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLimits:
    """When rows are not frames: the clock runs on at another pace than the frame times add up."""

    span_over_sum: float = limit(
        1.15, "ratio", "frames lost in the logging never reach 13 %; samples taken at intervals do"
    )
    span_under_sum: float = limit(
        0.87, "ratio", "the reciprocal: every frame logged more than once, or summed over two screens"
    )
    least_rows: float = limit(0.02, "share of rows", "fewer rows off the clock are gaps in a log of frames")
    least_rising: float = limit(
        0.5, "share of steps", "frame times held at one value hardly ever rise; a clock rises at most rows"
    )
    fewest_rising: int = limit(32, "rows", "frame times that vary fall once in so many; a clock never does")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockLimits:
    """When frame times and an independent clock disagree."""

    share: float = limit(
        0.003, "share of the span", "two honest clocks of one machine drift by parts in 10,000"
    )
    slack_s: float = limit(0.002, "s", "a clock written to the millisecond is off by one at either end")
    jump_s: float = limit(0.05, "s", "a step of the clock this far from its frame time is named as a place")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingLimits:
    """When rows that could not be read matter."""

    doubt_above_share: float = limit(0.001, "share of rows", "one row in a thousand moves a 1% low")
    blocks_above_share: float = limit(0.02, "share of rows", "what is left is another sample of the run")


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthLimits:
    """When a take is too short by itself, or shorter or longer than its siblings."""

    least_s: float = limit(
        5.0, "s", "ten half-second blocks: below, no stretch, sag or held rate can be told from the scene"
    )
    least_frames: int = limit(100, "frames", "the slowest one in a hundred is not even one frame below that")
    fewest_frames: int = limit(10, "frames", "with fewer a mean is one or two frames: a number of chance")

    short_share: float = limit(
        0.06, "ln ratio", "hand-stopped takes scatter by 1 to 2 %; a lost part shows at 6 %"
    )
    long_share: float = limit(0.045, "ln ratio", "nobody adds to a take by accident as often as it is cut")
    spreads: float = limit(
        4.5, "spreads", "over several hundred runs of free hands one false hold is too many"
    )
    prior_spread: float = limit(
        0.008, "ln ratio", "spread of hand-stopped takes, worth three pairs before any data"
    )
    prior_pairs: float = limit(3.0, "pairs", "weight of that prior")
    aborted_share: float = limit(
        0.25, "ln ratio", "a fifth or more of a take is missing: it was stopped, and tells no spread"
    )
    explained_share: float = limit(
        0.7, "share", "of what a take is longer by, lost in a pause or before the scene: that is why"
    )
    same_frames: float = limit(0.01, "ln ratio", "logs of a fixed number of frames differ by a row or two")
    scattered_above: float = limit(0.03, "ln ratio", "siblings further apart than this have no common length")
    scattered_factor: float = limit(
        1.15, "ratio", "margin over the spread where lengths scatter of themselves"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StampLimits:
    """Which stamps must agree, and what a difference means."""

    blocking: tuple[str, ...] = limit(
        ("version", "resolution", "settings", "quality", "scene"),
        "names",
        "another version or picture is another test: its number is not comparable",
    )
    doubtful: tuple[str, ...] = limit(
        ("driver", "os", "firmware", "power plan"),
        "names",
        "may or may not move the number: a person decides",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TwinLimits:
    """When two logs hold one recording."""

    trimmed_s: float = limit(0.05, "s", "less than this was not cut off: a row or two at either end")
    doubt_above_r: float = limit(
        0.9, "correlation", "two takes of a calm scripted scene were measured to reach 0.6"
    )
    apart: float = limit(
        0.5, "steps", "two takes lie 1.4 steps apart, a copy with noise on top to r = 0.9 half a step"
    )
    same: float = limit(0.05, "steps", "a copy rounded to fewer digits; nothing else comes so close")
    closer: float = limit(
        0.3, "ratio", "how much closer to r = 1 a changed copy is than pairs of its cell are as a rule"
    )
    blocks_above_r: float = limit(0.995, "correlation", "only copies of the same frames come so close")
    overlap: float = limit(0.5, "share of the shorter", "less than half in common is another question")
    fewest_frames: int = limit(60, "frames", "with fewer, chance alone reaches high correlations")
    least_noise: float = limit(
        2e-4,
        "ln ratio",
        "below it frame times differ by the log's last digit only: nothing to recognise a run by",
    )
    winsor: float = limit(3.0, "MAD", "one hitch in the same place must not make twins")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomLimits:
    """When the room was another one."""

    apart_c: float = limit(
        4.0, "°C", "without a declared range: parts follow the room 1:1, four degrees move clocks"
    )
