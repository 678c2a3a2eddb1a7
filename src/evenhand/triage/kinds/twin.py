"""The same recording twice: copies, trimmed and renamed copies, logs filed under the wrong setup."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations, product

import numpy as np
from scipy import fft

from evenhand.records.faults import Fault, Severity
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import TwinLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, count, listing

KIND = "twin"
_MAD_TO_SD = 1.4826


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
class _Print:
    """A run's steps made comparable: winsorised, with their spectrum and running sums of squares.

    `usual_step` is the median size of a step between frames that follow no pattern.
    """

    steps: Floats
    usual_step: float
    spectrum: np.ndarray[tuple[int], np.dtype[np.complex128]]
    size: int
    squares: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pair:
    """Two runs that hold one recording; `elsewhere` where they belong to different setups."""

    copy: Features
    origin: Features
    match: Match
    elsewhere: bool = False


def twin(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Find pairs by the hash of their bytes, then by the course of their frame times.

    Within a cell the shorter log of a pair is held, of equal ones the later; the other is only told.
    Against another setup only this cell's run can be judged here.
    """
    prints = _prints(view)
    pairs = [*_pairs_within(view, prints), *_pairs_outside(view, prints)]
    for run in view.runs:
        as_copy = max((p for p in pairs if p.copy is run), key=lambda p: p.match.r, default=None)
        as_origin = [p for p in pairs if p.origin is run]
        if as_copy is not None:
            yield run.id, _held(as_copy, view.limits.twin)
        elif as_origin:
            yield run.id, _told(as_origin)


def _pairs_within(view: CellView, prints: dict[str, _Print]) -> list[Pair]:
    """Pairs of this cell: the shorter is the copy, of equal ones the later."""
    matches = [(a, b, _match(a, b, prints, view.limits.twin)) for a, b in combinations(view.runs, 2)]
    usual = _usual([match for _, _, match in matches if match is not None])
    pairs = []
    for first, second, match in matches:
        if match is not None and _telling(match, usual, view.limits.twin):
            copy, origin = (first, second) if first.frames < second.frames else (second, first)
            pairs.append(Pair(copy=copy, origin=origin, match=match))
    return pairs


def _pairs_outside(view: CellView, prints: dict[str, _Print]) -> list[Pair]:
    """Pairs with another setup's runs: the shorter is the copy; of equal ones this cell's run is held too.

    Nearly all of them have nothing in common, which a bound on the correlation tells cheaply.
    """
    pairs = []
    for run, other in product(view.runs, (p for peer in view.peers for p in peer)):
        match = _match_outside(run, other, prints, view)
        if match is not None and _telling(match, 0.0, view.limits.twin):
            copy, origin = (run, other) if run.frames <= other.frames else (other, run)
            pairs.append(Pair(copy=copy, origin=origin, match=match, elsewhere=True))
    return pairs


def _match_outside(a: Features, b: Features, prints: dict[str, _Print], view: CellView) -> Match | None:
    """The match of runs of two setups, worked out once though the cells of both ask for it."""
    if a.id > b.id:
        match = _match_outside(b, a, prints, view)
        return None if match is None else replace(match, lag=-match.lag)
    limits = view.limits.twin
    find = partial(_match, a, b, prints, limits, at_least=limits.doubt_above_r)
    return view.prepared.derived(a, f"twin with {id(b)}", 0, find)


def _usual(matches: list[Match]) -> float:
    """How closely two runs of this cell follow each other as a rule; 0 where one pair is all there is."""
    return float(np.median([match.r for match in matches])) if len(matches) > 2 else 0.0


def _telling(match: Match, usual: float, limits: TwinLimits) -> bool:
    """Whether this is one recording.

    High correlation alone is not enough: frames that alternate correlate wherever they lie. The steps must
    also be the same; where they are not quite, the pair must fit much better than pairs of its cell do as a
    rule, or the scene is merely that repeatable.
    """
    if match.r <= limits.doubt_above_r or match.apart > limits.apart:
        return False
    return match.apart <= limits.same or 1 - match.r <= limits.closer * (1 - usual)


def _prints(view: CellView) -> dict[str, _Print]:
    """Prints of all runs that have enough in them to be recognised."""
    limits = view.limits.twin
    everyone = [*view.runs, *(p for peer in view.peers for p in peer)]
    clear = [r for r in everyone if r.steps.size >= limits.fewest_frames and r.noise >= limits.least_noise]
    longest = max((r.steps.size for r in clear), default=1)
    size = fft.next_fast_len(2 * longest, real=True)
    return {r.id: view.prepared.derived(r, KIND, size, partial(_print, r, size, limits)) for r in clear}


def _print(run: Features, size: int, limits: TwinLimits) -> _Print:
    reach = limits.winsor * _MAD_TO_SD * float(np.median(np.abs(run.steps)))
    steps = np.clip(run.steps, -reach, reach)
    return _Print(
        steps=steps,
        usual_step=run.noise * math.sqrt(2) / _MAD_TO_SD,
        spectrum=fft.rfft(steps, size),
        size=size,
        squares=np.concatenate(([0.0], np.cumsum(steps**2))),
    )


def _match(
    a: Features, b: Features, prints: dict[str, _Print], limits: TwinLimits, *, at_least: float = 0.0
) -> Match | None:
    """The pair's best match; None where there is too little to go by, or where it stays below `at_least`."""
    if a.frames and a.frames == b.frames and _same_bytes(a, b):
        return Match(r=1.0, apart=0.0, lag=0, overlap=a.steps.size)
    if a.id not in prints or b.id not in prints:
        return None
    return best_match(prints[a.id], prints[b.id], limits.overlap, at_least=at_least)


def _same_bytes(a: Features, b: Features) -> bool:
    return a.run.log_sha256 is not None and a.run.log_sha256 == b.run.log_sha256


def best_match(a: _Print, b: _Print, least_overlap: float, *, at_least: float = 0.0) -> Match | None:
    """The lag of the highest correlation, each lag judged over its own overlap; None below `at_least`.

    Steps have mean zero, so the correlation at a lag is Σab ÷ √(Σa²·Σb²) over the overlap; the sums of
    products come from one FFT, the sums of squares from running sums. No lag can correlate by more than
    the largest sum of products over the least energy of any overlap.
    """
    m, n = a.steps.size, b.steps.size
    products = fft.irfft(np.conj(a.spectrum) * b.spectrum, a.size)
    shortest = max(1, int(np.ceil(least_overlap * min(m, n))))
    if products.max() < at_least * math.sqrt(_least_energy(a, shortest) * _least_energy(b, shortest)):
        return None
    lags = np.arange(-(m - shortest), n - shortest + 1)
    from_a, to_a = np.maximum(0, -lags), np.minimum(m, n - lags)
    energy = (a.squares[to_a] - a.squares[from_a]) * (b.squares[to_a + lags] - b.squares[from_a + lags])
    r = products[lags] / np.sqrt(np.maximum(energy, 1e-300))
    at = int(np.argmax(r))
    lag, start, end = int(lags[at]), int(from_a[at]), int(to_a[at])
    apart = float(np.median(np.abs(a.steps[start:end] - b.steps[start + lag : end + lag])))
    return Match(r=float(r[at]), apart=apart / min(a.usual_step, b.usual_step), lag=lag, overlap=end - start)


def _least_energy(run: _Print, length: int) -> float:
    """The least sum of squares over any `length` neighbouring steps: every overlap holds at least that."""
    return float((run.squares[length:] - run.squares[:-length]).min())


def _held(pair: Pair, limits: TwinLimits) -> Fault:
    sure = pair.match.r > limits.blocks_above_r
    copy, origin = pair.copy.run.label, pair.origin.run.label
    setup = " of another setup" if pair.elsewhere else ""
    return Fault(
        kind=KIND,
        title="Same recording as another run" if sure else "Very like another run",
        severity=Severity.BLOCKS if sure else Severity.IN_DOUBT,
        evidence=_sentence(f"{_overlap(pair, 'this run')} of {origin}{setup}{_trim(pair)}."),
        todo=(
            f"Find out to which setup {copy} and {origin} belong, and set the wrong one aside."
            if pair.elsewhere
            else f"Set {copy} aside as a duplicate of {origin}, and record another run in its place."
        ),
        numbers=_numbers(pair.match),
        siblings=(pair.origin.id,),
    )


def _told(pairs: list[Pair]) -> Fault:
    names = listing([p.copy.run.label for p in pairs])
    first = pairs[0]
    return Fault(
        kind=KIND,
        title="Another run is a copy of this one",
        severity=Severity.NOTE,
        evidence=_sentence(f"{_overlap(first, first.copy.run.label)} of this run{_trim(first)}."),
        todo=f"Decide about {names}; nothing is wrong with this run itself.",
        numbers=_numbers(first.match),
        siblings=tuple(p.copy.id for p in pairs),
    )


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]


def _overlap(pair: Pair, whose: str) -> str:
    if _same_bytes(pair.copy, pair.origin):
        return f"The log of {whose} is byte for byte the log"
    frames = count(pair.match.overlap + 1, "frame")
    whole = "all " if pair.match.overlap == pair.copy.steps.size else ""
    return f"{whole}{frames} of {whose} follow the same course (r = {pair.match.r:.4f}) as the frames"


def _trim(pair: Pair) -> str:
    """How the copy was cut, where it lies wholly inside the other."""
    gone = pair.origin.duration_s - pair.copy.duration_s
    if gone < 0.05 or pair.match.overlap < pair.copy.steps.size:
        return ""
    skipped = float(pair.origin.begins_s[abs(pair.match.lag)])
    start = f"; it begins {amount(skipped, 1, 's')} into it" if pair.match.lag else ""
    return f", which is {amount(gone, 1, 's')} longer{start}"


def _numbers(match: Match) -> dict[str, float]:
    return {"r": match.r, "overlap_frames": float(match.overlap + 1), "lag_frames": float(match.lag)}
