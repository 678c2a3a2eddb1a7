"""The longest stretch of a run in which its frames are far steadier than elsewhere, and at one rate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.faults import Place
from evenhand.stats.medians import median, medians
from evenhand.triage.curves import Flags, Floats
from evenhand.triage.features import Features
from evenhand.triage.held import spans
from evenhand.triage.limits.rates import CapLimits
from evenhand.triage.plateaus import densest
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Chunks:
    """A run in pieces of equally many frames, about half a second each.

    `middles`, `noise`: shape (k,), median log frame time, and median size of the step from frame to frame;
    `usual_noise` is the median of the latter, NaN without a piece. `begins_s`: shape (k+1,), where each
    begins, and where the last ends.
    """

    middles: Floats
    noise: Floats
    usual_noise: float
    begins_s: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A quiet stretch: first chunk and the one after the last, seconds, its line, and its noise.

    `held` are the pieces of it at the line (parts slower than that lie between them), `held_s` their seconds.
    `noise` is that at the line, `elsewhere` that of the whole run away from it.
    """

    first: int
    end: int
    held: tuple[Place, ...]
    line: float
    noise: float
    elsewhere: float

    @property
    def held_s(self) -> float:
        """How long the run is held, seconds."""
        return sum(place.to_s - place.from_s for place in self.held)


def chunks(run: Features, limits: CapLimits) -> Chunks:
    """Cut a run into pieces; none where it is shorter than one."""
    size = piece_frames(run, limits)
    count = run.frames // size
    logs = run.log_ms[: count * size].reshape(count, size)
    ends = run.edges_s[: count * size + 1 : size] if run.frames else np.array([run.duration_s])
    noise = medians(np.abs(logs[:, 1:] - logs[:, :-1])) if count and size > 1 else np.empty(0)
    return Chunks(
        middles=medians(logs) if count else np.empty(0),
        noise=noise,
        usual_noise=median(noise),
        begins_s=ends,
    )


def piece_frames(run: Features, limits: CapLimits) -> int:
    """How many frames of a run take about half a second."""
    return max(int(limits.block_frames), round(run.block_s * 1000 / run.median_ms)) if run.frames else 1


def chunks_of(run: Features, view: CellView) -> Chunks:
    """The pieces of a run; worked out once."""
    return view.prepared.derived(run, "chunks", 0, lambda: chunks(run, view.limits.cap))


def stretch(pieces: Chunks, usual_noise: float, limits: CapLimits) -> Stretch | None:
    """The longest quiet stretch at one rate; None where it is short, or the run as quiet elsewhere.

    `usual_noise` is how large steps from frame to frame are where nothing holds them. A hitch may lie in
    between, and parts in which the scene is slower than the line; none that is quicker. These may be more
    than half of it where the run is nowhere quicker than the line.

    >>> rng = np.random.default_rng(1)
    >>> noise = np.repeat([0.02, 0.0005, 0.02], 20)
    >>> middles = np.repeat([2.0, 2.5, 2.1], 20) + 0.001 * rng.standard_normal(60) * (noise > 0.01)
    >>> pieces = Chunks(middles=middles, noise=noise, usual_noise=0.02, begins_s=np.arange(61) / 2)
    >>> found = stretch(pieces, 0.02, CapLimits())
    >>> found is not None and (found.held[0].from_s, found.held_s, found.line)
    (10.0, 10.0, 2.5)
    """
    quiet = pieces.noise <= limits.quiet_noise * usual_noise
    if np.count_nonzero(quiet) < limits.least_blocks:
        return None
    line = densest(pieces.middles[quiet], 2 * limits.near)
    at_line = quiet & (np.abs(pieces.middles - line) <= limits.near)
    first, end = _longest(at_line, pieces.middles > line + limits.near)
    own = first + np.flatnonzero(at_line[first:end])
    if own.size < max(limits.least_blocks, limits.quiet_share * pieces.noise.size):
        return None
    if own.size < (end - first) / 2 and _passes(pieces, line, limits):
        return None
    held = _held(at_line, first, end, pieces, limits)
    noise, rest = float(np.median(pieces.noise[own])), pieces.noise[~_within(pieces, held)]
    if not rest.size or noise > limits.quiet_noise * np.median(rest):
        return None
    return Stretch(
        first=first,
        end=end,
        held=held,
        line=float(np.median(pieces.middles[own])),
        noise=noise,
        elsewhere=float(np.median(rest)),
    )


def _passes(pieces: Chunks, line: float, limits: CapLimits) -> bool:
    """Whether the run is quicker than the line anywhere."""
    return bool(np.mean(pieces.middles < line - limits.quicker_by) > limits.quicker_share)


def _held(at_line: Flags, first: int, end: int, pieces: Chunks, limits: CapLimits) -> tuple[Place, ...]:
    starts, ends = pieces.begins_s[first:end], pieces.begins_s[first + 1 : end + 1]
    return spans(at_line[first:end], starts, ends, limits.bridged_blocks)


def _longest(at_line: Flags, slower: Flags) -> tuple[int, int]:
    """Start and end of the stretch that is longest at the line; single gaps and slower parts are bridged."""
    bridged = at_line | slower
    bridged[1:-1] |= at_line[:-2] & at_line[2:]
    edges = np.flatnonzero(np.diff(np.concatenate(([False], bridged, [False]))))
    held = np.concatenate(([0], np.cumsum(at_line)))
    starts, ends = edges[::2], edges[1::2]
    if not starts.size:
        return 0, 0
    longest = int(np.argmax(held[ends] - held[starts]))
    own = np.flatnonzero(at_line[starts[longest] : ends[longest]]) + starts[longest]
    return (int(own[0]), int(own[-1]) + 1) if own.size else (0, 0)


def noise_within(pieces: Chunks, places: Sequence[Place]) -> float:
    """Median step from frame to frame in stretches of time; NaN where the run does not reach them."""
    inside = _within(pieces, places)
    return float(np.median(pieces.noise[inside])) if inside.any() else float("nan")


def _within(pieces: Chunks, places: Sequence[Place]) -> Flags:
    """Which pieces begin in one of these stretches of time."""
    begins = pieces.begins_s[:-1]
    inside = np.zeros(begins.size, bool)
    for place in places:
        inside |= (begins >= place.from_s) & (begins < place.to_s)
    return inside
