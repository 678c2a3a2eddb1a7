"""The same recording twice: copies, trimmed and renamed copies, logs filed under the wrong setup."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

import numpy as np

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import TwinLimits
from evenhand.triage.prints import Match, Prints, best_match, perhaps_alike, prints_of
from evenhand.triage.view import CellView
from evenhand.triage.wholes import wholes
from evenhand.triage.wording import amount, count, listing

KIND = "twin"


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
    Against another setup only this cell's run can be judged here. Logs are held against each other whole.
    """
    view = wholes(view)
    prints = prints_of(view)
    pairs = [*_pairs_within(view, prints), *_pairs_outside(view, prints)]
    for run in view.runs:
        as_copy = max((p for p in pairs if p.copy is run), key=lambda p: p.match.r, default=None)
        as_origin = [p for p in pairs if p.origin is run]
        if as_copy is not None:
            yield run.id, _held(as_copy, view.limits.twin)
        elif as_origin:
            yield run.id, _told(as_origin, view.limits.twin)


def _pairs_within(view: CellView, prints: Prints) -> list[Pair]:
    """Pairs of this cell: the shorter is the copy, of equal ones the later.

    Nearly all runs have nothing in common, which a bound on the correlation tells cheaply. How closely runs
    of this cell follow each other as a rule is asked only where two follow each other closely.
    """
    limits, matches = view.limits.twin, []
    for place, run in enumerate(view.runs):
        beside = view.runs[place + 1 :]
        near = _perhaps_alike(run, beside, prints)
        matches += [(run, other, _match(run, other, prints)) for other in beside if other.id in near]
    close = [(a, b, match) for a, b, match in matches if match is not None and _close(match, limits)]
    usual = _usual(view, prints) if close else 0.0
    pairs = []
    for first, second, match in close:
        if _telling(match, usual, limits):
            copy, origin = (first, second) if first.frames < second.frames else (second, first)
            pairs.append(Pair(copy=copy, origin=origin, match=match))
    return pairs


def _pairs_outside(view: CellView, prints: Prints) -> list[Pair]:
    """Pairs with another setup's runs: the shorter is the copy; of equal ones this cell's run is held too."""
    limits, pairs = view.limits.twin, []
    others = [p for peer in view.peers for p in peer]
    for run in view.runs:
        near = _perhaps_alike(run, others, prints)
        for other in (other for other in others if other.id in near):
            match = _match_outside(run, other, prints)
            if match is not None and _close(match, limits) and _telling(match, 0.0, limits):
                copy, origin = (run, other) if run.frames <= other.frames else (other, run)
                pairs.append(Pair(copy=copy, origin=origin, match=match, elsewhere=True))
    return pairs


def _perhaps_alike(run: Features, others: Sequence[Features], prints: Prints) -> set[str]:
    """The runs that may hold the same recording: by their bytes, or as far as a quick look tells."""
    same = {other.id for other in others if _same_bytes(run, other)}
    printed = [other for other in others if other.id in prints.of] if run.id in prints.of else []
    return same | {other.id for other in perhaps_alike(run, printed, prints)}


def _match_outside(a: Features, b: Features, prints: Prints) -> Match | None:
    """The match of runs of two setups, worked out once though the cells of both ask for it."""
    if a.id > b.id:
        match = _match_outside(b, a, prints)
        return None if match is None else replace(match, lag=-match.lag)
    find = partial(_match, a, b, prints, at_least=prints.view.limits.twin.doubt_above_r)
    return prints.view.prepared.derived(a, f"twin with {id(b)}", 0, find)


def _usual(view: CellView, prints: Prints) -> float:
    """How closely two runs of this cell follow each other as a rule; 0 where one pair is all there is."""
    matches = (_match(a, b, prints) for a, b in combinations(view.runs, 2))
    found = [match.r for match in matches if match is not None]
    return float(np.median(found)) if len(found) > 2 else 0.0


def _close(match: Match, limits: TwinLimits) -> bool:
    """Whether two runs follow each other closely, and in steps of one size."""
    return match.r > limits.doubt_above_r and match.apart <= limits.apart


def _telling(match: Match, usual: float, limits: TwinLimits) -> bool:
    """Whether two runs that follow each other closely are one recording.

    High correlation alone is not enough: frames that alternate correlate wherever they lie. The steps must
    also be the same; where they are not quite, the pair must fit much better than pairs of its cell do as a
    rule, or the scene is merely that repeatable.
    """
    return match.apart <= limits.same or 1 - match.r <= limits.closer * (1 - usual)


def _match(a: Features, b: Features, prints: Prints, *, at_least: float = 0.0) -> Match | None:
    """The pair's best match; None where there is too little to go by, or where it stays below `at_least`."""
    if a.frames and a.frames == b.frames and _same_bytes(a, b):
        return Match(r=1.0, apart=0.0, lag=0, overlap=a.frames - 1)
    if a.id not in prints.of or b.id not in prints.of:
        return None
    return best_match(a, b, prints, at_least=at_least)


def _same_bytes(a: Features, b: Features) -> bool:
    return a.run.log_sha256 is not None and a.run.log_sha256 == b.run.log_sha256


def _held(pair: Pair, limits: TwinLimits) -> Fault:
    sure = pair.match.r > limits.blocks_above_r
    copy, origin = pair.copy.run.label, pair.origin.run.label
    setup = " of another setup" if pair.elsewhere else ""
    return Fault(
        kind=KIND,
        title="Same recording as another run" if sure else "Very like another run",
        severity=Severity.BLOCKS if sure else Severity.IN_DOUBT,
        evidence=_sentence(f"{_overlap(pair, 'this run')} of {origin}{setup}{_trim(pair, limits)}."),
        todo=(
            f"Find out to which setup {copy} and {origin} belong, and set the wrong one aside."
            if pair.elsewhere
            else f"Set {copy} aside as a duplicate of {origin}, and record another run in its place."
        ),
        numbers=_numbers(pair.match),
        siblings=(pair.origin.id,),
    )


def _told(pairs: list[Pair], limits: TwinLimits) -> Fault:
    names = listing([p.copy.run.label for p in pairs])
    first = pairs[0]
    return Fault(
        kind=KIND,
        title="Another run is a copy of this one",
        severity=Severity.NOTE,
        evidence=_sentence(f"{_overlap(first, first.copy.run.label)} of this run{_trim(first, limits)}."),
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
    whole = "all " if pair.match.overlap == pair.copy.frames - 1 else ""
    return f"{whole}{frames} of {whose} follow the same course (r = {pair.match.r:.4f}) as the frames"


def _trim(pair: Pair, limits: TwinLimits) -> str:
    """How the copy was cut, where it lies wholly inside the other."""
    gone = pair.origin.duration_s - pair.copy.duration_s
    if gone < limits.trimmed_s or pair.match.overlap < pair.copy.frames - 1:
        return ""
    skipped = float(pair.origin.begins_s[abs(pair.match.lag)])
    start = f"; it begins {amount(skipped, 1, 's')} into it" if pair.match.lag else ""
    return f", which is {amount(gone, 1, 's')} longer{start}"


def _numbers(match: Match) -> dict[str, float]:
    return {"r": match.r, "overlap_frames": float(match.overlap + 1), "lag_frames": float(match.lag)}
