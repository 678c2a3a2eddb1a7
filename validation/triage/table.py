"""Judging simulated cells, line by line; every line has a seed of its own and can be repeated alone."""

from __future__ import annotations

import hashlib
import math
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import numpy as np
from scipy import stats

from evenhand.records.faults import Fault, Severity
from evenhand.triage.triage import triage_cell
from validation.triage.plants import PLANTS, Plant
from validation.triage.runs import company, draw_cell
from validation.triage.scenes import Scene, draw_scene

CELLS_A_PIECE = 25
FIRST_FRESH = 1000
"""Seeds below this one may be used while tuning, the others may not."""
GOOD = "good runs"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the table: good cells, or a plant by its place in the list; how many, of how many runs."""

    what: str
    n: int
    cells: int
    plant: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A part of a line, small enough to hand to one process; drawn from a seed of its own."""

    line: Line
    seed: int
    part: int
    cells: int


@dataclass(slots=True, kw_only=True)
class Tally:
    """What a line has shown so far; adding two is what makes pieces a line.

    `groups` counts good runs by kind of scene, held or not, `kinds` those held by kind of fault.
    `found` are spoilt cells in which the fault was called by its name, `held` those held for any reason;
    `noisy_*` the same in tests beyond the noise gate. `beside` are good siblings, `beside_held` those held.
    """

    cells: int = 0
    runs: int = 0
    good_held: int = 0
    groups: Counter[tuple[str, bool]] = field(default_factory=Counter)
    kinds: Counter[str] = field(default_factory=Counter)
    noted: Counter[str] = field(default_factory=Counter)
    called: Counter[str] = field(default_factory=Counter)
    found: int = 0
    held: int = 0
    told: int = 0
    noisy_cells: int = 0
    noisy_found: int = 0
    noisy_held: int = 0
    beside: int = 0
    beside_held: int = 0
    seconds: float = 0.0

    def add(self, other: Tally) -> None:
        """Take another piece in."""
        for name in self.__slots__:
            value = getattr(self, name)
            if isinstance(value, Counter):
                value.update(getattr(other, name))
            else:
                setattr(self, name, value + getattr(other, name))


def holds(faults: Iterable[Fault]) -> set[str]:
    """Kinds that keep the run out of a finding."""
    return {f.kind for f in faults if f.severity is not Severity.NOTE}


def kinds(faults: Iterable[Fault]) -> set[str]:
    """Kinds told, held or not."""
    return {f.kind for f in faults}


def lines(
    good: int, faulty: int, ns: Sequence[int], only: Sequence[str] = (), plants: Sequence[Plant] = PLANTS
) -> list[Line]:
    """The lines asked for: `good` runs and `faulty` cells each; `only` leaves just those kinds."""
    wanted = [] if only and GOOD not in only else [n for n in ns if good]
    made = [Line(what=GOOD, n=n, cells=math.ceil(good / n)) for n in wanted]
    for place, plant in enumerate(plants):
        if faulty and (not only or plant.kind in only or plant.title in only):
            made += [Line(what=_name(plant), n=n, cells=faulty, plant=place) for n in ns if n > plant.runs]
    return made


def _name(plant: Plant) -> str:
    return f"{plant.kind}: {plant.title}"


def pieces(line: Line, seed: int) -> Iterator[Piece]:
    """The line in parts; how it is cut depends on the line alone."""
    for part, start in enumerate(range(0, line.cells, CELLS_A_PIECE)):
        yield Piece(line=line, seed=seed, part=part, cells=min(CELLS_A_PIECE, line.cells - start))


def generator(piece: Piece) -> np.random.Generator:
    """What the piece is drawn from: the seed, the line's name and n, and which part of it this is."""
    own = int.from_bytes(hashlib.sha256(piece.line.what.encode()).digest()[:8])
    return np.random.default_rng(np.random.SeedSequence([piece.seed, own, piece.line.n, piece.part]))


def judge(piece: Piece) -> Tally:
    """Draw and judge one piece."""
    rng = generator(piece)
    if piece.line.plant is None:
        return _good(piece, rng)
    return _spoilt(piece, PLANTS[piece.line.plant], rng)


def _good(piece: Piece, rng: np.random.Generator) -> Tally:
    tally, n = Tally(), piece.line.n
    for _ in range(piece.cells):
        scene = draw_scene(rng)
        cell, around = draw_cell(scene, n, rng), company(scene, n, rng)
        started = time.perf_counter()
        found = triage_cell(cell, around)
        tally.seconds += time.perf_counter() - started
        tally.cells += 1
        for faults in found.values():
            held = holds(faults)
            tally.runs += 1
            tally.good_held += bool(held)
            tally.kinds.update(held)
            tally.noted.update(kinds(faults) - held)
            tally.groups.update((group, bool(held)) for group in _groups(scene))
    return tally


def _groups(scene: Scene) -> tuple[str, ...]:
    return ("with other setups" if scene.peers else "without other setups", *scene.types)


def fitting(plant: Plant, rng: np.random.Generator) -> Scene:
    """A scene in which this fault can be planted."""
    while not plant.fits(scene := draw_scene(rng)):
        pass
    return scene


def _spoilt(piece: Piece, plant: Plant, rng: np.random.Generator) -> Tally:
    """Cells until enough of them lie within the noise gate; those beyond it are counted apart."""
    tally = Tally()
    while tally.cells < piece.cells:
        scene = fitting(plant, rng)
        before = draw_cell(scene, piece.line.n, rng)
        cell, around = plant.spoil(scene, before, rng), company(scene, piece.line.n, rng)
        judged = triage_cell(cell, around)
        faults = [judged[run.id] for run in cell]
        found = _found(plant, faults) if plant.seen is None else plant.seen(before[0], cell[0], around)
        _count(tally, plant, faults, found=found, noisy=scene.noisy)
    return tally


def _found(plant: Plant, faults: Sequence[Sequence[Fault]]) -> bool:
    names = kinds if plant.told else holds
    return all(plant.kind in names(own) for own in _spoilt_of(plant, faults))


def _spoilt_of(plant: Plant, faults: Sequence[Sequence[Fault]]) -> Sequence[Sequence[Fault]]:
    """The faults of the runs that were spoilt."""
    return faults if plant.shared else faults[: plant.runs]


def _count(
    tally: Tally, plant: Plant, faults: Sequence[Sequence[Fault]], *, found: bool, noisy: bool
) -> None:
    spoilt = _spoilt_of(plant, faults)
    held = all(holds(own) for own in spoilt)
    if noisy:
        tally.noisy_cells += 1
        tally.noisy_found += found
        tally.noisy_held += held
        return
    tally.cells += 1
    tally.found += found
    tally.held += held
    tally.told += all(plant.kind in kinds(own) for own in spoilt)
    tally.called.update(k for own in spoilt[:1] for k in holds(own))
    if not plant.shared:
        tally.beside += len(faults) - plant.runs
        tally.beside_held += sum(bool(holds(own)) for own in faults[plant.runs :])


Progress = Callable[[str, int, int], None]


class Store(Protocol):
    """Where pieces that are done are kept."""

    def of(self, piece: Piece) -> Tally | None:
        """What the piece has shown, if it was judged before."""

    def add(self, piece: Piece, tally: Tally) -> None:
        """Keep what a piece has shown."""


def run_lines(
    asked: Sequence[Line],
    seed: int,
    *,
    workers: int = 1,
    tell: Progress | None = None,
    kept: Store | None = None,
) -> dict[Line, Tally]:
    """Judge all lines, on several processes where asked; `tell` hears of every piece that is done.

    Pieces that are `kept` from before are not judged again.
    """
    known = {p: kept.of(p) if kept else None for line in asked for p in pieces(line, seed)}
    tallies = {line: Tally() for line in asked}
    for piece, before in known.items():
        if before is not None:
            tallies[piece.line].add(before)
    work = [piece for piece, before in known.items() if before is None]
    for done, (piece, tally) in enumerate(_judged(work, workers), start=1):
        tallies[piece.line].add(tally)
        if kept is not None:
            kept.add(piece, tally)
        if tell is not None:
            tell(piece.line.what, done, len(work))
    return tallies


def _judged(work: Sequence[Piece], workers: int) -> Iterator[tuple[Piece, Tally]]:
    if workers <= 1:
        yield from ((piece, judge(piece)) for piece in work)
        return
    with ProcessPoolExecutor(workers) as pool:
        waiting = {pool.submit(judge, piece): piece for piece in work}
        for done in as_completed(waiting):
            yield waiting[done], done.result()


def wilson(hits: int, of: int, confidence: float = 0.95) -> tuple[float, float]:
    """The interval of a share (Wilson, JASA 22:209, 1927, as in scipy).

    >>> low, high = wilson(2, 100)
    >>> round(low, 4), round(high, 4)
    (0.0055, 0.07)
    """
    if not of:
        return 0.0, 1.0
    found = stats.binomtest(hits, of).proportion_ci(confidence, method="wilson")
    return float(found.low), float(found.high)


def fresh_seed(root: Path) -> int:
    """A seed drawn from the sources of triage and of this proof: it changes with every change of either.

    Never one of those that may be used while tuning.
    """
    found = hashlib.sha256()
    for folder in ("src/evenhand/triage", "validation/triage"):
        for path in sorted((root / folder).rglob("*.py")):
            found.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return FIRST_FRESH + int.from_bytes(found.digest()[:6])
