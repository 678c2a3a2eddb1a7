"""Where a noisy series changes level and stays there."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Series = npt.NDArray[np.float64]

# A split must gain more than this many error variances (times ln n) in the sum of squares.
_GAIN = 3.0
# A step must exceed this many standard errors of the difference between two medians of `hold` values.
_ERRORS = 4.0
# Spikes of up to two readings do not move a boundary.
_SPIKE_WINDOW = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A lasting change: `at` is the index of the first value on the new level."""

    at: int
    before: float
    after: float

    @property
    def share(self) -> float:
        """The change as a share of the level before."""
        return (self.after - self.before) / abs(self.before) if self.before else math.inf


def level_steps(values: Series, *, hold: int, min_share: float) -> tuple[Step, ...]:
    """The lasting changes of level of a series, in order.

    `values`: shape (n,), finite. Boundaries come from binary segmentation in least squares of the
    series freed of short spikes; each is kept if the medians of the `hold` values on either side differ
    by at least `min_share` of the former and by four of their standard errors. A slow drift is
    therefore no step, however far it goes. Source: Scott and Knott 1974 (binary segmentation); noise
    from the median absolute first difference (Rice 1984 in its robust form). Limits: values nearer than
    `hold` to either end, or levels shorter than that, are not seen as levels of their own.

    >>> series = np.r_[np.full(50, 4700.0), np.full(50, 4150.0)]
    >>> [(s.at, s.before, s.after) for s in level_steps(series, hold=10, min_share=0.02)]
    [(50, 4700.0, 4150.0)]
    """
    if values.size < 2 * hold or hold < 1:
        return ()
    from scipy.ndimage import median_filter  # slow to load, and seldom needed

    smooth = median_filter(values, size=_SPIKE_WINDOW, mode="nearest")
    noise = _noise(values)
    steps = [_step(smooth, at, hold) for at in _boundaries(smooth, hold, noise)]
    error = 1.2533 * noise * math.sqrt(2 / hold)
    return tuple(
        s for s in steps
        if s.before != s.after and abs(s.share) >= min_share and abs(s.after - s.before) >= _ERRORS * error
    )  # fmt: skip


def _noise(values: Series) -> float:
    return 1.4826 * float(np.median(np.abs(np.diff(values)))) / math.sqrt(2)


def _step(smooth: Series, at: int, hold: int) -> Step:
    before, after = np.median(smooth[at - hold : at]), np.median(smooth[at : at + hold])
    return Step(at=at, before=float(before), after=float(after))


def _boundaries(smooth: Series, hold: int, noise: float) -> list[int]:
    """Binary segmentation with a worklist instead of recursion; segments are at least `hold` long."""
    total = np.append(0.0, np.cumsum(smooth - smooth.mean()))
    threshold = _GAIN * noise**2 * math.log(smooth.size) + 1e-9 * float(np.ptp(smooth)) ** 2
    found: list[int] = []
    segments = [(0, smooth.size)]
    while segments:
        start, end = segments.pop()
        at, gain = _best_split(total, start, end, hold)
        if gain > threshold:
            found.append(at)
            segments += [(start, at), (at, end)]
    return sorted(found)


def _best_split(total: Series, start: int, end: int, hold: int) -> tuple[int, float]:
    """The split of [start, end) that lowers the sum of squares most, and by how much."""
    if end - start < 2 * hold:
        return start, 0.0
    at = np.arange(start + hold, end - hold + 1)
    left, right = at - start, end - at
    gap = (total[at] - total[start]) / left - (total[end] - total[at]) / right
    gain = gap**2 * left * right / (end - start)
    best = int(np.argmax(gain))
    return int(at[best]), float(gain[best])
