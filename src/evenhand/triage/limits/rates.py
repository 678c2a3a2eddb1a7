"""Limits for rates that something holds: limiters, and frames that wait for the screen."""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.triage.limits.limit import limit

USUAL_RATES_FPS: tuple[float, ...] = (
    *(24.0, 25.0, 30.0, 40.0, 48.0, 50.0, 59.94, 60.0, 72.0, 75.0, 90.0, 100.0, 119.88, 120.0, 144.0, 150.0),
    *(
        160.0,
        165.0,
        170.0,
        175.0,
        180.0,
        200.0,
        240.0,
        270.0,
        280.0,
        300.0,
        360.0,
        390.0,
        480.0,
        500.0,
        540.0,
    ),
)
"""Refresh rates that screens are sold with, and half of them, per second."""


def nearest_rate(rate_fps: float, within: float) -> float | None:
    """The usual refresh rate that this rate sits on, `within` in ln; None where there is none.

    >>> nearest_rate(143.9, 0.0015), nearest_rate(131.0, 0.0015)
    (144.0, None)
    """
    nearest = min(USUAL_RATES_FPS, key=lambda usual: abs(math.log(usual / rate_fps)))
    return nearest if abs(math.log(nearest / rate_fps)) <= within else None


@dataclass(frozen=True, slots=True, kw_only=True)
class CapLimits:
    """When a rate is held by a limiter."""

    line_by_frames: float = limit(
        0.25,
        "share of frames",
        "piled up near a line of means tell it better: means hold hitches",
    )
    line_near: float = limit(0.003, "ln ratio", "how near such a pile must lie to be of the same line")
    block_s: float = limit(
        0.5, "s", "long enough to average jitter, short enough to see a cap that lasts seconds"
    )
    block_frames: float = limit(8.0, "frames", "slow runs get longer blocks, so that each holds this many")
    window: float = limit(0.004, "ln ratio", "width of the window in which blocks are densest")
    near: float = limit(0.0012, "ln ratio", "a limiter holds half-second means within 0.12 %")
    least_share: float = limit(
        0.30, "share of blocks", "a shorter plateau is too easily a quiet stretch of the scene"
    )
    least_blocks: int = limit(8, "blocks", "four seconds; fewer agree by chance")
    quicker_by: float = limit(0.003, "ln ratio", "blocks quicker than the plateau by this much break it")
    quicker_share: float = limit(0.02, "share of blocks", "a limiter lets almost nothing past")
    plateau_mad: float = limit(0.00035, "ln ratio", "the plateau of a hard limiter is flatter than any scene")
    compensated: float = limit(
        0.5,
        "ratio",
        "a limiter corrects each frame by the next: blocks scatter less than independent frames would",
    )
    still_frames: float = limit(
        0.0005, "ln ratio", "no renderer repeats its own frame time this closely unasked"
    )
    side_share: float = limit(0.35, "share of blocks", "one-sided plateau, any rate")
    side_share_listed: float = limit(0.22, "share of blocks", "one-sided plateau at a usual refresh rate")
    side_quicker: float = limit(0.012, "share of blocks", "one-sided plateau: blocks quicker than it")
    side_slower: float = limit(0.08, "share of blocks", "one-sided plateau: blocks slower than it must exist")
    side_width: float = limit(0.006, "ln ratio", "one-sided plateau: half its width at most")
    pile_share: float = limit(0.25, "share of frames", "a quarter of all frames in the pile-up window")
    pile_window: float = limit(0.003, "ln ratio", "the pile-up window")
    pile_quicker_by: float = limit(0.015, "ln ratio", "frames this much quicker than the pile-up are past it")
    pile_quicker_share: float = limit(0.01, "share of frames", "frames past the pile-up")
    pile_contrast: float = limit(12.0, "ratio", "how much denser the pile-up is than its quick flank")
    cut_edge: float = limit(
        0.05, "ratio", "a pile-up that ends like this on its quick side may be cut off there"
    )
    alone_edge: float = limit(0.1, "ratio", "the same, where no sibling shows how free frames lie")
    uncut_edge: float = limit(
        0.2, "ratio", "and is, where every sibling's runs on like this; free noise: 0.4 up"
    )
    cut_calmer: float = limit(
        0.75,
        "ratio",
        "or where frames also vary this much less than any sibling's: siblings agree within 10 %",
    )
    past_by: float = limit(
        0.015, "ln ratio", "siblings must be past the line by 1.5 % to show that it is one"
    )
    past_share: float = limit(
        0.30, "share of blocks", "siblings must be past the line for this much of their run"
    )
    past_least: float = limit(
        0.05, "share of blocks", "siblings past the line for less are not worth a sentence"
    )
    held_share: float = limit(
        0.80, "share of blocks", "this run must stay at the line for this much of its own"
    )
    held_tol: float = limit(0.004, "ln ratio", "what counts as at the line when siblings show that it is one")
    tighter: float = limit(0.5, "ratio", "blocks at the line scatter at most this much of a sibling's")
    same_span: float = limit(0.0008, "ln ratio", "free runs do not repeat their median to 0.08 %")
    same_span_noise: float = limit(
        3.0, "standard errors", "or to three standard errors of a median, if that is more"
    )
    same_span_most: float = limit(0.0015, "ln ratio", "but never looser than 0.15 %")
    same_repeat: float = limit(0.002, "ln ratio", "free runs repeat their median to 0.2 % (sd) at best")
    same_odds: float = limit(
        1000.0, "ratio", "medians must agree closer than their frames' scatter and free runs explain"
    )
    own_rate_within: float = limit(
        0.05, "ln ratio", "free runs of a still scene stand this near to each other"
    )
    own_rate_ranges: float = limit(
        2.0, "ranges", "or, where they scatter widely, within twice their own range"
    )
    same_runs: int = limit(4, "runs", "two or three equal medians happen by chance, four do not")
    same_share: float = limit(
        0.20, "share of blocks", "the common median must also be a plateau within each run"
    )
    listed_within: float = limit(0.0015, "ln ratio", "a limiter set to a usual rate holds it to 0.15 %")
    under_within: float = limit(
        0.045, "share", "limits are set this far below a screen's rate to stay inside it"
    )
    tail_quantile: float = limit(0.03, "share of frames", "the quickest frames: enough of them to be steady")
    tail_shorter: float = limit(0.15, "ln ratio", "quick frames reach this much less far than any sibling's")
    calmer_few: float = limit(4.0, "sd", "and frames vary less than any sibling's: of two siblings")
    calmer_many: float = limit(
        3.6, "sd", "the same, of three siblings or more, whose least is a witness more"
    )
    scatter_sd: float = limit(0.07, "ln ratio", "how much frame noise differs between takes of a calm scene")
    scatter_slope: float = limit(4.0, "ln ratio per noise", "noisier scenes differ by more")
    scatter_calm: float = limit(0.008, "ln ratio", "from this noise on")
    scatter_weight: float = limit(6.0, "runs", "what that is worth against siblings and the past")
    noise_error: float = limit(1.16, "sd times root n", "sampling error of a median deviation (normal noise)")
    beat_pairs: int = limit(100, "frames", "a correlation of fewer is off by more than a tenth")
    beat_own: float = limit(-0.3, "correlation", "a limiter that makes up for each frame comes near −1/2")
    beat_after: float = limit(0.2, "correlation", "and near 0 two frames apart; frames that alternate near 1")
    beat_sibling: float = limit(-0.15, "correlation", "a sibling that does the same")
    beat_together: int = limit(2, "siblings", "so many of them at one rate are held as well")
    beat_noise: float = limit(3.0, "noise", "frames about a line: as near as their own noise")
    beat_most: float = limit(0.25, "ln ratio", "no limiter misses its line by more")
    bridged_blocks: int = limit(2, "half seconds", "a hitch, or one at a border, parts no held stretch")
    quiet_noise: float = limit(0.5, "ratio", "frames of a held stretch differ this much less than free ones")
    quiet_share: float = limit(
        0.22, "share of the run", "half seconds lost at both ends of a stretch of 30 %"
    )
    quiet_alone: float = limit(0.001, "ln ratio", "steps that no still scene shows of itself")
    quiet_noise_alone: float = limit(0.25, "ratio", "and a quarter of what they are elsewhere in the run")
    locked_within: float = limit(0.01, "ln ratio", "a declared rate counts as met within 1 %")
    locked_average: float = limit(
        0.02, "ln ratio", "or as missed when the average is 2 % away, whatever the median"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ScreenLimits:
    """When frame times lie on multiples of a screen's period."""

    told_share: float = limit(0.005, "share of frames", "a multiple that fewer take is not worth a word")
    least_frames: int = limit(60, "frames", "three of a hundred must be more than a frame or two")
    sample_frames: int = limit(900, "frames", "enough to see that a run lies on no grid")
    sample_slack: float = limit(1.5, "ratio", "a sample may hold this many more of them")
    dense_window: float = limit(0.05, "ln ratio", "width of the window in which frames are densest")
    most_periods: int = limit(6, "periods", "the densest frame time may be this many periods")
    multiples: int = limit(8, "periods", "longer frames are hitches, and may fall anywhere")
    shortest_ms: float = limit(1.6, "ms", "no screen refreshes quicker")
    longest_ms: float = limit(45.0, "ms", "no screen refreshes slower")
    near: float = limit(0.25, "periods", "nearer to a multiple than to the middle between two")
    second_share: float = limit(
        0.03, "share of frames", "the second multiple; a few doubled frames are hitches"
    )
    second_frames: int = limit(8, "frames", "and at least this many")
    between_share: float = limit(0.06, "share of frames", "frames that lie between multiples")
    between_of_second: float = limit(0.25, "ratio", "and at most this part of the second multiple's")
    phase_sd: float = limit(0.16, "periods", "frames spread evenly over the phases would have no sd at all")
    apart: float = limit(0.06, "periods", "the middles of both clusters are whole multiples of the period")
    finest: float = limit(0.0005, "periods", "logs round frame times: less scatter than this is none")
    lock_frames: int = limit(8, "frames", "long enough to see whether frames make up for each other")
    locked: float = limit(0.55, "ratio", "sums of frames scatter at most so much: the screen's beat is kept")
    lock_windows: int = limit(8, "windows", "of that length, in which frames take more than one multiple")
    second_locked: float = limit(
        0.002, "share of frames", "where the beat is kept, so few at another are enough"
    )
    loose: float = limit(0.12, "periods", "and then they must lie closely on their multiples (quartiles)")
    periods_unlisted: int = limit(1, "periods", "without the beat and at no usual rate")
    periods_unlocked: int = limit(
        3, "periods", "without that, a long frame time fits some short period by chance"
    )
    widening: float = limit(1.5, "ratio", "free frames at twice the time scatter twice as much")
    same_beat: float = limit(0.02, "periods", "a run beside one that waits: all its frames at one multiple")
    mixed: float = limit(0.1, "share of windows", "rooms of a scene last longer than eight frames")
    listed_within: float = limit(0.0015, "ln ratio", "screens keep their rate to 0.15 %")
    log_steps: float = limit(4.0, "ms", "a log in whole milliseconds shows no shorter period")
