"""What a run is recognised by: its steps from frame to frame, and how those of two runs line up."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import numpy.typing as npt
from scipy import fft

from evenhand.stats.medians import median, median_of_own
from evenhand.triage.clocks import only_rises
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import TwinLimits
from evenhand.triage.view import CellView

_MAD_TO_SD = 1.4826
_SINGLE = 1e-4  # of |a|·|b|: far more than sums of products can be off in single precision


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """How two runs line up: frame `i` of the one is frame `i + lag` of the other, over `overlap` steps.

    `apart` is how far the steps of both lie from each other over the overlap, in the spread of a step that
    follows no pattern: √2 for two takes, next to nothing for copies, however regular or rough the frames are.
    """

    r: float
    apart: float
    lag: int
    overlap: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Print:
    """A run's steps made comparable: winsorised beyond `reach`, with their running sums of squares.

    `usual_step` is the median size of a step between frames that follow no pattern, `energy` the sum of all
    squares. Arrays are worked out when asked: of a long run they take much room, and few pairs ask for them.
    """

    run: Features
    reach: float
    usual_step: float
    energy: float

    @property
    def size(self) -> int:
        """How many steps there are."""
        return self.run.frames - 1

    @property
    def steps(self) -> Floats:
        """The steps, shape (n,)."""
        return clipped(self.run, self.reach)

    @property
    def squares(self) -> Floats:
        """The running sums of their squares, shape (n+1,), from 0 on."""
        return running_squares(self.steps)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prints:
    """The prints of all runs of a view that have enough in them to be recognised, by run id.

    `size` is that of their spectra: room for the two longest one after the other.
    """

    of: Mapping[str, Print]
    size: int
    view: CellView

    def spectrum(self, run: Features) -> npt.NDArray[np.complex128]:
        """The spectrum of a run's steps; worked out once."""
        own, size = self.of[run.id], self.size
        return self.view.prepared.as_long_as_the_run(
            run, "spectrum of steps", size, lambda: fft.rfft(own.steps, size)
        )


def prints_of(view: CellView) -> Prints:
    """The prints of a cell's runs and of those of other setups.

    All clocks are alike: a run that only rises can be known again by its bytes alone.
    """
    limits = view.limits.twin
    everyone = [*view.runs, *(p for peer in view.peers for p in peer)]
    rows = view.limits.rows
    clear = [
        r
        for r in everyone
        if r.frames - 1 >= limits.fewest_frames and r.noise >= limits.least_noise and not only_rises(r, rows)
    ]
    longest = max((r.frames - 1 for r in clear), default=1)
    size = fft.next_fast_len(2 * longest, real=True)
    of = {r.id: view.prepared.derived(r, "print", 0, partial(_print, r, limits)) for r in clear}
    return Prints(of=of, size=size, view=view)


def _print(run: Features, limits: TwinLimits) -> Print:
    steps = run.steps
    reach = limits.winsor * _MAD_TO_SD * median_of_own(np.abs(steps, out=steps))
    return Print(
        run=run,
        reach=reach,
        usual_step=run.noise * math.sqrt(2) / _MAD_TO_SD,
        energy=float(running_squares(clipped(run, reach))[-1]),
    )


def clipped(run: Features, reach: float) -> Floats:
    """A run's steps, none beyond `reach` either way; shape (n,)."""
    steps = run.steps
    return np.clip(steps, -reach, reach, out=steps)


def running_squares(steps: Floats) -> Floats:
    """Sums of squares before each of these steps, and of all; the steps are used up."""
    sums = np.empty(steps.size + 1)
    sums[0] = 0.0
    np.cumsum(np.square(steps, out=steps), out=sums[1:])
    return sums


def best_match(a: Features, b: Features, prints: Prints, *, at_least: float = 0.0) -> Match | None:
    """The lag of the highest correlation, each lag judged over its own overlap; None below `at_least`.

    Steps have mean zero, so the correlation at a lag is Σab ÷ √(Σa²·Σb²) over the overlap; the sums of
    products come from one FFT, the sums of squares from running sums. No lag can correlate by more than
    the largest sum of products over the least energy of any overlap.
    """
    products = fft.irfft(np.conj(prints.spectrum(a)) * prints.spectrum(b), prints.size)
    if products.max() < at_least * _least(a, b, prints):
        return None
    one, other = prints.of[a.id], prints.of[b.id]
    m, n, shortest = one.size, other.size, _shortest(a, b, prints)
    lags = np.arange(-(m - shortest), n - shortest + 1)
    from_a, to_a = np.maximum(0, -lags), np.minimum(m, n - lags)
    ours, theirs = one.squares, other.squares
    energy = (ours[to_a] - ours[from_a]) * (theirs[to_a + lags] - theirs[from_a + lags])
    r = products[lags] / np.sqrt(np.maximum(energy, 1e-300))
    at = int(np.argmax(r))
    lag, start, end = int(lags[at]), int(from_a[at]), int(to_a[at])
    apart = median(np.abs(one.steps[start:end] - other.steps[start + lag : end + lag]))
    return Match(
        r=float(r[at]), apart=apart / min(one.usual_step, other.usual_step), lag=lag, overlap=end - start
    )


def _shortest(a: Features, b: Features, prints: Prints) -> int:
    """How many steps two runs must have in common at least."""
    shorter = min(prints.of[a.id].size, prints.of[b.id].size)
    return max(1, int(np.ceil(prints.view.limits.twin.overlap * shorter)))


def _least(a: Features, b: Features, prints: Prints) -> float:
    """The least that √(Σa²·Σb²) can be over any overlap."""
    shortest = _shortest(a, b, prints)
    return math.sqrt(_least_energy(a, shortest, prints) * _least_energy(b, shortest, prints))


def _least_energy(run: Features, length: int, prints: Prints) -> float:
    """The least sum of squares over any `length` neighbouring steps: every overlap holds at least that."""

    def least() -> float:
        squares = prints.of[run.id].squares
        return float((squares[length:] - squares[:-length]).min())

    return prints.view.prepared.derived(run, "least energy", length, least)


def perhaps_alike(run: Features, others: Sequence[Features], prints: Prints) -> list[Features]:
    """Those of the others that may correlate by more than the least that is in doubt; all have prints.

    A cheap look in single precision at all of them at once, over lags with enough in common only: who is left
    out could not pass the bound in `best_match` either. What was seen of a pair once is not looked at again.
    """
    new = [other for other in others if id(other) not in _seen(run, prints)]
    if new:
        for other, alike in zip(new, _quick_look(run, new, prints), strict=True):
            _seen(run, prints)[id(other)] = _seen(other, prints)[id(run)] = bool(alike)
    return [other for other in others if _seen(run, prints)[id(other)]]


def _seen(run: Features, prints: Prints) -> dict[int, bool]:
    """What was seen of a run beside others so far."""
    seen: dict[int, bool] = prints.view.prepared.derived(run, "perhaps alike", 0, dict)
    return seen


def _quick_look(run: Features, others: Sequence[Features], prints: Prints) -> npt.NDArray[np.bool_]:
    """Whether each of the others reaches the bound of `best_match`, or comes so near that single may err."""
    limits = prints.view.limits.twin
    longest = max(p.size for p in prints.of.values())
    size = fft.next_fast_len(int(np.ceil((2 - limits.overlap) * longest)), real=True)
    theirs = np.array([_single(other, size, prints) for other in others])
    np.multiply(np.conj(_single(run, size, prints)), theirs, out=theirs)
    most = fft.irfft(theirs, size, overwrite_x=True).max(axis=1)
    least = np.array([_least(run, other, prints) for other in others])
    whole = np.array([prints.of[r.id].energy for r in others]) * prints.of[run.id].energy
    return np.asarray(most + _SINGLE * np.sqrt(whole) >= limits.doubt_above_r * least)


def _single(run: Features, size: int, prints: Prints) -> npt.NDArray[np.complex64]:
    own = prints.of[run.id]
    return prints.view.prepared.as_long_as_the_run(
        run,
        "spectrum in single precision",
        size,
        lambda: np.asarray(fft.rfft(own.steps.astype(np.float32), size), np.complex64),
    )
