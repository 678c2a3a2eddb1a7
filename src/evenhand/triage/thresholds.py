"""Every threshold of triage as named, frozen data, each with its unit and the reason it stands where it does.

Pass another `Thresholds` to judge by other numbers; `reasons` lists all of them for the documents.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields
from typing import Any


def _limit(value: Any, unit: str, reason: str) -> Any:
    """A dataclass field that carries its unit and its reason."""
    return field(default=value, metadata={"unit": unit, "reason": reason})


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLimits:
    """When frame times cannot be milliseconds."""

    seconds_below_ms: float = _limit(
        0.3, "ms", "a median under 0.3 ms would be more than 3,300 frames a second: the numbers are seconds"
    )
    micro_above_ms: float = _limit(
        500.0,
        "ms",
        "a median over 500 ms would be fewer than 2 frames a second: the numbers are microseconds",
    )
    nano_above_ms: float = _limit(
        500_000.0, "ms", "a median over 500 s: a thousand times more than microseconds would show"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BadFrameLimits:
    """When impossible frame times spoil a run."""

    blocks_above_share: float = _limit(
        0.001, "share of rows", "one row in a thousand moves a 1% low by its own definition"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLimits:
    """When rows are not frames: the clock runs on at another pace than the frame times add up."""

    span_over_sum: float = _limit(
        1.15, "ratio", "frames lost in the logging never reach 13 %; samples taken at intervals do"
    )
    span_under_sum: float = _limit(
        0.87, "ratio", "the reciprocal: every frame logged more than once, or summed over two screens"
    )
    least_rows: float = _limit(0.02, "share of rows", "fewer rows off the clock are gaps in a log of frames")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockLimits:
    """When frame times and an independent clock disagree."""

    share: float = _limit(
        0.003, "share of the span", "two honest clocks of one machine drift by parts in 10,000"
    )
    slack_s: float = _limit(0.002, "s", "a clock written to the millisecond is off by one at either end")
    jump_s: float = _limit(0.05, "s", "a step of the clock this far from its frame time is named as a place")


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthLimits:
    """When a take is shorter or longer than its siblings."""

    short_share: float = _limit(
        0.06, "ln ratio", "hand-stopped takes scatter by 1 to 2 %; a lost part shows at 6 %"
    )
    long_share: float = _limit(0.045, "ln ratio", "nobody adds to a take by accident as often as it is cut")
    spreads: float = _limit(
        4.5, "spreads", "over several hundred runs of free hands one false hold is too many"
    )
    prior_spread: float = _limit(
        0.008, "ln ratio", "spread of hand-stopped takes, worth three pairs before any data"
    )
    prior_pairs: float = _limit(3.0, "pairs", "weight of that prior")
    scattered_above: float = _limit(
        0.03, "ln ratio", "siblings further apart than this have no common length"
    )
    scattered_factor: float = _limit(
        1.15, "ratio", "margin over the spread where lengths scatter of themselves"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StampLimits:
    """Which stamps must agree, and what a difference means."""

    blocking: tuple[str, ...] = _limit(
        ("version", "resolution", "settings", "quality", "scene"),
        "names",
        "another version or picture is another test: its number is not comparable",
    )
    doubtful: tuple[str, ...] = _limit(
        ("driver", "os", "firmware", "power plan"),
        "names",
        "may or may not move the number: a person decides",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TwinLimits:
    """When two logs hold one recording."""

    doubt_above_r: float = _limit(
        0.9, "correlation", "two takes of a calm scripted scene were measured to reach 0.6"
    )
    apart: float = _limit(
        0.5, "steps", "two takes lie 1.4 steps apart, a copy with noise on top to r = 0.9 half a step"
    )
    same: float = _limit(0.05, "steps", "a copy rounded to fewer digits; nothing else comes so close")
    closer: float = _limit(
        0.3, "ratio", "how much closer to r = 1 a changed copy is than pairs of its cell are as a rule"
    )
    blocks_above_r: float = _limit(0.995, "correlation", "only copies of the same frames come so close")
    overlap: float = _limit(0.5, "share of the shorter", "less than half in common is another question")
    fewest_frames: int = _limit(60, "frames", "with fewer, chance alone reaches high correlations")
    least_noise: float = _limit(
        2e-4,
        "ln ratio",
        "below it frame times differ by the log's last digit only: nothing to recognise a run by",
    )
    winsor: float = _limit(3.0, "MAD", "one hitch in the same place must not make twins")


@dataclass(frozen=True, slots=True, kw_only=True)
class CapLimits:
    """When a rate is held by a limiter."""

    block_s: float = _limit(
        0.5, "s", "long enough to average jitter, short enough to see a cap that lasts seconds"
    )
    block_frames: float = _limit(8.0, "frames", "slow runs get longer blocks, so that each holds this many")
    window: float = _limit(0.004, "ln ratio", "width of the window in which blocks are densest")
    near: float = _limit(0.0012, "ln ratio", "a limiter holds half-second means within 0.12 %")
    least_share: float = _limit(
        0.30, "share of blocks", "a shorter plateau is too easily a quiet stretch of the scene"
    )
    least_blocks: int = _limit(8, "blocks", "four seconds; fewer agree by chance")
    quicker_by: float = _limit(0.003, "ln ratio", "blocks quicker than the plateau by this much break it")
    quicker_share: float = _limit(0.02, "share of blocks", "a limiter lets almost nothing past")
    plateau_mad: float = _limit(
        0.00035, "ln ratio", "the plateau of a hard limiter is flatter than any scene"
    )
    compensated: float = _limit(
        0.5,
        "ratio",
        "a limiter corrects each frame by the next: blocks scatter less than independent frames would",
    )
    still_frames: float = _limit(
        0.0005, "ln ratio", "no renderer repeats its own frame time this closely unasked"
    )
    side_share: float = _limit(0.35, "share of blocks", "one-sided plateau, any rate")
    side_share_listed: float = _limit(0.22, "share of blocks", "one-sided plateau at a usual refresh rate")
    side_quicker: float = _limit(0.012, "share of blocks", "one-sided plateau: blocks quicker than it")
    side_slower: float = _limit(
        0.08, "share of blocks", "one-sided plateau: blocks slower than it must exist"
    )
    side_width: float = _limit(0.006, "ln ratio", "one-sided plateau: half its width at most")
    pile_share: float = _limit(0.25, "share of frames", "a quarter of all frames in the pile-up window")
    pile_window: float = _limit(0.003, "ln ratio", "the pile-up window")
    pile_quicker_by: float = _limit(
        0.015, "ln ratio", "frames this much quicker than the pile-up are past it"
    )
    pile_quicker_share: float = _limit(0.01, "share of frames", "frames past the pile-up")
    pile_contrast: float = _limit(12.0, "ratio", "how much denser the pile-up is than its quick flank")
    cut_edge: float = _limit(
        0.05, "ratio", "a pile-up that ends like this on its quick side may be cut off there"
    )
    cut_calmer: float = _limit(
        0.75,
        "ratio",
        "and is, where frames also vary this much less than any sibling's: siblings agree within 10 %",
    )
    past_by: float = _limit(
        0.015, "ln ratio", "siblings must be past the line by 1.5 % to show that it is one"
    )
    past_share: float = _limit(
        0.30, "share of blocks", "siblings must be past the line for this much of their run"
    )
    past_least: float = _limit(
        0.05, "share of blocks", "siblings past the line for less are not worth a sentence"
    )
    held_share: float = _limit(
        0.80, "share of blocks", "this run must stay at the line for this much of its own"
    )
    held_tol: float = _limit(
        0.004, "ln ratio", "what counts as at the line when siblings show that it is one"
    )
    tighter: float = _limit(0.5, "ratio", "blocks at the line scatter at most this much of a sibling's")
    same_span: float = _limit(0.0008, "ln ratio", "free runs do not repeat their median to 0.08 %")
    same_span_noise: float = _limit(
        3.0, "standard errors", "or to three standard errors of a median, if that is more"
    )
    same_span_most: float = _limit(0.0015, "ln ratio", "but never looser than 0.15 %")
    own_rate_within: float = _limit(
        0.05, "ln ratio", "free runs of a still scene stand this near to each other"
    )
    own_rate_ranges: float = _limit(
        2.0, "ranges", "or, where they scatter widely, within twice their own range"
    )
    same_runs: int = _limit(4, "runs", "two or three equal medians happen by chance, four do not")
    same_share: float = _limit(
        0.20, "share of blocks", "the common median must also be a plateau within each run"
    )
    listed_within: float = _limit(0.0015, "ln ratio", "a limiter set to a usual rate holds it to 0.15 %")
    locked_within: float = _limit(0.01, "ln ratio", "a declared rate counts as met within 1 %")
    locked_average: float = _limit(
        0.02, "ln ratio", "or as missed when the average is 2 % away, whatever the median"
    )
    rates_fps: tuple[float, ...] = _limit(
        tuple(
            float(hz)
            for hz in (
                *(24, 25, 30, 40, 48, 50, 59.94, 60, 72, 75, 90, 100, 119.88, 120, 144, 150, 160, 165),
                *(170, 175, 180, 200, 240, 270, 280, 300, 360, 390, 480, 500, 540),
            )
        ),
        "per second",
        "refresh rates that screens are sold with, and half of them",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelLimits:
    """When a run's headline number stands apart from its siblings."""

    least_gap: float = _limit(0.015, "ln ratio", "agreed by all siblings; less moves no sentence")
    p_few: float = _limit(0.005, "p", "two-sided, up to three runs: few siblings, more caution")
    p_many: float = _limit(0.008, "p", "two-sided, four runs or more")
    no_peer_factor: float = _limit(
        0.5, "ratio", "without another setup as witness false holds double: halve p"
    )
    few_runs: int = _limit(3, "runs", "where few ends")
    noisy_spread: float = _limit(
        0.03, "ln ratio", "a test that scatters by 3 % cannot hold a run: it is only told"
    )
    least_spread: float = _limit(
        0.0005, "ln ratio", "a cell without any spread (a held rate) teaches no spread"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrottleLimits:
    """When a clock falls while the part is at load."""

    fall: float = _limit(
        0.022, "ln ratio", "clocks wander by one step of 25 MHz in 4,000; 2.2 % is more than that"
    )
    load_share: float = _limit(
        0.8, "share of P75", "samples at load: at least 80 % of the load's upper quartile"
    )
    least_load_pct: float = _limit(60.0, "%", "a part that waits for another one lowers its clock by right")
    skip_s: float = _limit(1.0, "s", "the first second still climbs to load")
    fewest: int = _limit(16, "samples", "four in each quarter")
    tail_s: float = _limit(20.0, "s", "a step down must last this long to count as one")
    errors: float = _limit(
        4.0, "standard errors", "quarters of a jumping clock differ by chance: ask for four"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomLimits:
    """When the room was another one."""

    apart_c: float = _limit(
        4.0, "°C", "without a declared range: parts follow the room 1:1, four degrees move clocks"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingLimits:
    """When rows that could not be read matter."""

    doubt_above_share: float = _limit(0.001, "share of rows", "one row in a thousand moves a 1% low")
    blocks_above_share: float = _limit(0.02, "share of rows", "what is left is another sample of the run")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thresholds:
    """All limits of triage, one group for each kind of fault.

    >>> Thresholds().twin.blocks_above_r
    0.995
    """

    units: UnitLimits = field(default_factory=UnitLimits)
    bad_frames: BadFrameLimits = field(default_factory=BadFrameLimits)
    rows: RowLimits = field(default_factory=RowLimits)
    clock: ClockLimits = field(default_factory=ClockLimits)
    length: LengthLimits = field(default_factory=LengthLimits)
    stamps: StampLimits = field(default_factory=StampLimits)
    twin: TwinLimits = field(default_factory=TwinLimits)
    cap: CapLimits = field(default_factory=CapLimits)
    level: LevelLimits = field(default_factory=LevelLimits)
    throttle: ThrottleLimits = field(default_factory=ThrottleLimits)
    room: RoomLimits = field(default_factory=RoomLimits)
    reading: ReadingLimits = field(default_factory=ReadingLimits)


DEFAULT = Thresholds()


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """One threshold as a row of a table."""

    name: str
    value: object
    unit: str
    reason: str


def reasons(thresholds: Thresholds = DEFAULT) -> Iterator[Threshold]:
    """Every threshold with its value, unit and reason, in the order of the kinds.

    >>> next(reasons()).name
    'units.seconds_below_ms'
    """
    for group in fields(thresholds):
        limits = getattr(thresholds, group.name)
        for item in fields(limits):
            yield Threshold(
                name=f"{group.name}.{item.name}",
                value=getattr(limits, item.name),
                unit=item.metadata["unit"],
                reason=item.metadata["reason"],
            )
