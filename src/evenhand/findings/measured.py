"""Cells of one test side by side, and any weighted sum of them with its error and reservations."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from evenhand.findings.caveats import DOUBTED, row_caveats
from evenhand.findings.drifting import drifted
from evenhand.findings.exposure import Weights, exposed
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.rooms import rooms_caveat
from evenhand.findings.rows import Row
from evenhand.findings.sessions import boots_in, replicate_logs
from evenhand.stats.between import Difference
from evenhand.stats.contrasts import Means, contrasts, means_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Cells of one test by name, as replicates in logs, larger is better. At least one run a cell.

    `by_boot`: the mean log of a boot is the replicate, since every cell has two boots or more.
    """

    test: str
    cells: Mapping[str, Cell]
    means: Means
    by_boot: bool

    def row(self, weights: Weights) -> list[float]:
        """The weights in the order of the cells."""
        return [weights.get(name, 0.0) for name in self.cells]


@dataclass(frozen=True, slots=True, kw_only=True)
class Summed:
    """A weighted sum of mean logs: its error, and the `allowance` (a log) for what repeats cannot exclude.

    `runs` counts the runs behind it. `one_run` says that a cell in it has a single run.
    """

    difference: Difference
    allowance: float
    caveats: tuple[Caveat, ...]
    runs: int
    one_run: bool
    by_boot: bool


def is_usable(cell: Cell) -> bool:
    """Whether a cell has runs, all with a number above 0, and no declared rate."""
    row = Row(a=cell, b=cell, sessions=None)
    return bool(cell.observations) and row.numbers and not cell.locked


def measured(cells: Mapping[str, Cell]) -> Measured | None:
    """The usable cells of one test and metric by name; None where there are none.

    >>> from evenhand.findings.finding import Observation
    >>> runs = tuple(Observation(run=str(i), value=100.0 + i, boot=str(i), order=i) for i in range(3))
    >>> cell = Cell(test="t", setup="s", metric="fps", better="higher", observations=runs)
    >>> measured({"s": cell}).by_boot
    True
    """
    return _measured(tuple(cells.items()))


@lru_cache(maxsize=1024)  # a decision about one test leaves the others as they were
def _measured(cells: tuple[tuple[str, Cell], ...]) -> Measured | None:
    there = {name: cell for name, cell in cells if is_usable(cell)}
    if not there:
        return None
    boots = {name: boots_in(cell) for name, cell in there.items()}
    by_boot = all(len(found) >= 2 for found in boots.values())
    logs = [replicate_logs(cell, boots[name] if by_boot else {}) for name, cell in there.items()]
    test = next(iter(there.values())).test
    return Measured(test=test, cells=there, means=means_of(logs), by_boot=by_boot)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A sum that is asked for: of which cells, and their weights."""

    of: Measured
    weights: Weights


def sums(asked: Sequence[Asked], *, boot_allowance: float) -> tuple[Summed, ...]:
    """Each sum with its error, the spread learned over all tests with the same sort of replicate.

    Cells that took turns share their session, and what that moves cancels as far as their weights do. Each
    session adds its net weight times ln(1 + boot_allowance) to the allowance, and each cell within a session
    whose boots are not repeated its own weight: with two cells this is the rule of `sessions.read_sessions`.
    What a drift of an anchor may make comes on top (`drifting.drifted`).
    """
    found: dict[int, Difference] = {}
    for by_boot in (True, False):
        places = [i for i, a in enumerate(asked) if a.of.by_boot is by_boot]
        found |= dict(zip(places, _differences([asked[i] for i in places]), strict=True))
    return tuple(_summed(a, found[i], boot_allowance=boot_allowance) for i, a in enumerate(asked))


def _differences(asked: Sequence[Asked]) -> list[Difference]:
    """The sums of one sort of replicate: a test that is asked several things lends its spread once."""
    turns: list[list[int]] = []
    for i, a in enumerate(asked):
        turn = next((t for t in turns if not any(asked[j].of.test == a.of.test for j in t)), None)
        if turn is None:
            turns.append([i])
        else:
            turn.append(i)
    everyone = list({a.of.test: a.of for a in asked}.values())
    found: dict[int, Difference] = {}
    for turn in turns:
        weights = {asked[i].of.test: asked[i].of.row(asked[i].weights) for i in turn}
        rows = [weights.get(m.test, [0.0] * len(m.cells)) for m in everyone]
        made = dict(
            zip([m.test for m in everyone], contrasts([m.means for m in everyone], rows), strict=True)
        )
        found |= {i: made[asked[i].of.test] for i in turn}
    return [found[i] for i in range(len(asked))]


def _summed(asked: Asked, difference: Difference, *, boot_allowance: float) -> Summed:
    used = {name: w for name, w in asked.weights.items() if w}
    cells = [asked.of.cells[name] for name in used]
    weight, caveats = exposed(asked.of.cells, used)
    few = [c for cell in cells for c in row_caveats(Row(a=cell, b=cell, sessions=None))]
    caveats = list(dict.fromkeys([*caveats, *(c for c in few if c.key in ("one-run", "waiting", DOUBTED))]))
    apart = rooms_caveat([(w, asked.of.cells[name]) for name, w in used.items()])
    caveats += [] if apart is None else [apart]
    allowance = weight * math.log1p(boot_allowance)
    if allowance:
        words = "allowance for errors that the runs of one boot or session share: "
        caveats.append(Caveat(key="allowance", words=f"{words}{100 * math.expm1(allowance):.3g} % in all"))
    drift, unsteady = drifted(asked.of.cells, used)
    return Summed(
        difference=difference, allowance=allowance + drift, caveats=(*caveats, *unsteady),
        runs=sum(len(cell.observations) for cell in cells),
        one_run=any(len(cell.observations) == 1 for cell in cells), by_boot=asked.of.by_boot,
    )  # fmt: skip
