"""What siblings show of a limiter: a line they pass, quick frames it does not let through, its beat."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from evenhand.triage.held import Held, quicker, stillest
from evenhand.triage.learned import Known
from evenhand.triage.limits.rates import CapLimits, nearest_rate
from evenhand.triage.plateaus import Shape, held_at, past
from evenhand.triage.wording import count, share


def line(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> Held | None:
    """Route 3: this run stays at a line that every sibling spends much of its run past."""
    if own.flat is None or not siblings:
        return None
    centre = own.flat.centre
    at_line, quick = held_at(own.run, centre, limits)
    beyond = min(past(s.run, centre, limits) for s in siblings)
    if (
        at_line < limits.held_share
        or quick > limits.quicker_share
        or beyond < limits.past_share
        or any(stillest(s, limits) > limits.tighter * at_line for s in siblings)
    ):
        return None
    means = f"{share(at_line, 0)} of its half-second means lie within {share(limits.held_tol)} of that rate"
    shown = f"{means}, {quicker(quick, limits.held_tol)}"
    return Held(line=centre, shown=shown, share=at_line, route=3)


def cut_tail(own: Shape, siblings: Sequence[Shape], limits: CapLimits, scatter: Known) -> Held | None:
    """Route 5: the quick frames that every sibling has are missing, and frames vary less than any sibling's.

    A limiter that misses its line shows neither plateau nor edge, but it lets no frame be quick, and it can
    only slow a run down. `scatter` is what the past knows of the variance of log frame noise between runs.
    """
    if len(siblings) < 2 or own.tail <= 0 or own.run.noise <= 0:
        return None
    noises, least_tail = [s.run.noise for s in siblings], min(s.tail for s in siblings)
    if min(noises) <= 0 or least_tail <= 0:
        return None
    calmer, shorter = math.log(min(noises) / own.run.noise), math.log(least_tail / own.tail)
    deviations = limits.calmer_few if len(siblings) < 3 else limits.calmer_many
    wanted = deviations * _noise_sd(own, noises, limits, scatter)
    quickest = own.run.median_ms < min(s.run.median_ms for s in siblings)
    if calmer < wanted or shorter < limits.tail_shorter or quickest:
        return None
    told = (
        f"its quickest 3 % of frames reach {share(math.expm1(own.tail), 2)} past its median, every "
        f"sibling's {share(math.expm1(least_tail), 2)} or more, and from frame to frame it varies by "
        f"{share(own.run.noise, 2)}, they by {share(min(noises), 2)} or more"
    )
    more = {"tail_shorter_ln": shorter, "calmer_ln": calmer, "calmer_needed_ln": wanted}
    return Held(line=own.pile.centre, shown=told, share=own.pile.share, route=5, more=more)


def _noise_sd(own: Shape, noises: Sequence[float], limits: CapLimits, scatter: Known) -> float:
    """By how much log frame noise scatters: a prior, the siblings, the past, and what few frames add."""
    noisier = max(0.0, float(np.median(noises)) - limits.scatter_calm)
    prior = limits.scatter_sd + limits.scatter_slope * noisier
    logs = np.log(noises)
    squares = float(((logs - logs.mean()) ** 2).sum())
    weight = limits.scatter_weight + scatter.weight
    known = limits.scatter_weight * prior**2 + scatter.weight * scatter.value
    between = (known + squares) / (weight + len(noises) - 1)
    return math.sqrt(between + limits.noise_error**2 / own.run.frames)


def own_beat(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> Held | None:
    """Route 6: each frame makes up for the one before it, and no sibling's does.

    Where siblings do that too, and each at a rate of its own, it is the log's clock that shakes and not a
    limiter; without siblings the rate must be a usual one.
    """
    listed = nearest_rate(1000 / math.exp(own.beat.line), limits.listed_within) is not None
    near, fast = _around(own, limits)
    if not _makes_up(own, limits) or near < limits.least_share or fast > limits.pile_quicker_share:
        return None
    likewise = [s for s in siblings if s.beat.next_one <= limits.beat_sibling]
    together = all(abs(s.beat.line - own.beat.line) <= limits.listed_within for s in likewise)
    if likewise and not (together and (listed or len(likewise) >= limits.beat_together)):
        return None
    if not likewise and not siblings and not listed:
        return None
    told = f"each frame makes up for the one before it (correlation {_signed(own.beat.next_one)}"
    free = [s.beat.next_one for s in siblings if s not in likewise]
    beside = f"; siblings {_signed(min(free))} or more)" if free else ")"
    return Held(
        line=own.beat.line,
        shown=f"{told}{beside}, over {count(own.beat.pairs, 'frame')} near that rate",
        share=near,
        route=6,
        more={"next_frame_correlation": own.beat.next_one},
    )


def _makes_up(own: Shape, limits: CapLimits) -> bool:
    beat = own.beat
    return (
        beat.pairs >= limits.beat_pairs
        and beat.next_one <= limits.beat_own
        and abs(beat.after_that) <= limits.beat_after
    )


def _around(own: Shape, limits: CapLimits) -> tuple[float, float]:
    """Share of frames about as near to the line as its noise, and share clearly quicker."""
    off = own.run.log_ms - own.beat.line
    width = max(limits.beat_noise * own.run.noise, limits.pile_window)
    return float(np.mean(np.abs(off) <= width)), float(np.mean(off < -max(width, limits.pile_quicker_by)))


def _signed(value: float) -> str:
    return f"{value:+.2f}".replace("-", "−")
