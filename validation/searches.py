"""The walk against trying every point: `python -m validation.searches [--parts N] [--processes P]`.

Parts have seven clocks 50 MHz apart and 41 voltages 5 mV apart, an edge of their own at each clock, and fail
within ten minutes from it downward (an e-fold of 0: sharp) or at random moments (an e-fold above 0). Every
point is tried for ten minutes, twice over, so that one full grid can be held against another: what two of
them differ by is what no search could do better.
"""

from __future__ import annotations

import argparse
import math
import os
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np
from rich.console import Console

from evenhand.records.trials import Outcome, Trial
from evenhand.stats.spread import Floats
from evenhand.tuning.edge import EDGE_RATE, learn
from evenhand.tuning.evidence import evidence_of
from evenhand.tuning.planning import WALK_HOURS
from evenhand.tuning.walk import Map, Point, edges_of, next_point

CLOCKS = tuple(5000.0 + 50 * i for i in range(7))
VOLTS = tuple(1000.0 + 5 * i for i in range(41))
GRID = Map(clocks_mhz=CLOCKS, voltages_mv=VOLTS, start=(0, 20))
ROOM_C = 24.0
E_FOLDS_MV = (0.0, 2.5, 5.0, 10.0)
COLUMNS = (
    "e-fold, mV", "trials of the walk", "of a grid's", "most", "grid − truth, mV", "walk − truth, mV",
    "walk − grid, mV", "grid − grid, mV", "stock failed",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """How a part was searched: the share of a grid's trials, and the edges by clock (C,), in mV.

    They are found in the walk, in a full grid and in another one; at `true` it fails once in ten minutes.
    Where stock itself failed there is no walk, and its edges are NaN.
    """

    trials: int
    true: Floats
    walk: Floats
    grid: Floats
    other: Floats


def searched(e_fold_mv: float, seed: int) -> Search:
    """One part, searched three times."""
    rng = np.random.default_rng([seed, 6])
    rises = np.concatenate([[0.0], np.cumsum(rng.uniform(0, 18, len(CLOCKS) - 1))])
    true = rng.uniform(1020, 1060) + rises

    def fails_after(point: Point) -> float:
        above = VOLTS[point[1]] - true[point[0]]
        if e_fold_mv <= 0:
            return math.inf if above >= 0 else WALK_HOURS / 2
        return float(rng.exponential(math.exp(min(above / e_fold_mv, 60.0)) / EDGE_RATE))

    walk = walked(fails_after)
    every = [
        {(c, v): fails_after((c, v)) for c in range(len(CLOCKS)) for v in range(len(VOLTS))} for _ in range(2)
    ]
    find = found_by_order if e_fold_mv <= 0 else found_by_model
    edges = find(walk) if walk[GRID.start] >= WALK_HOURS else np.full(len(CLOCKS), math.nan)
    return Search(trials=len(walk), true=true, walk=edges, grid=find(every[0]), other=find(every[1]))


def walked(fails_after: Callable[[Point], float]) -> dict[Point, float]:
    """The points of the walk, and after how many hours each failed."""
    moments: dict[Point, float] = {}
    tried: dict[Point, bool] = {}
    while (found := next_point(GRID, tried)) is not None:
        moments[found.point] = fails_after(found.point)
        tried[found.point] = moments[found.point] >= WALK_HOURS
    return moments


def found_by_order(moments: dict[Point, float]) -> Floats:
    """The lowest voltage of each clock that held above all that failed."""
    held = {point: moment >= WALK_HOURS for point, moment in moments.items()}
    edges = edges_of(held, range(len(CLOCKS)))
    return np.array([math.nan if v is None else VOLTS[v] for v in edges.values()])


def found_by_model(moments: dict[Point, float]) -> Floats:
    """The edge of each clock as trials tell it: where the part fails once in ten minutes."""
    trials = [
        Trial(
            setup="a", part="processor", clock_mhz=CLOCKS[c], voltage_mv=VOLTS[v], load="integers",
            hours=min(moment, WALK_HOURS), room_c=ROOM_C,
            outcome=Outcome.PASSED if moment >= WALK_HOURS else Outcome.CRASH,
        )
        for (c, v), moment in moments.items()
    ]  # fmt: skip
    edge = learn(evidence_of(trials, room_c=ROOM_C))
    return np.array([edge.edge_mv(clock, ROOM_C, 0.5)[0] for clock in CLOCKS])


def row(e_fold_mv: float, found: list[Search]) -> str:
    """A line of the table."""
    share = np.array([each.trials for each in found]) / GRID.points

    def apart(first: str, second: str) -> str:
        gaps = np.array([getattr(each, first) - getattr(each, second) for each in found])
        return f"{np.nanmean(gaps):+.1f} ± {np.nanstd(gaps):.1f}"

    cells = (
        f"{e_fold_mv:g}", f"{share.mean() * GRID.points:.0f}", f"{share.mean():.1%}", f"{share.max():.1%}",
        apart("grid", "true"), apart("walk", "true"), apart("walk", "grid"), apart("other", "grid"),
        f"{sum(bool(np.isnan(each.walk).all()) for each in found)}",
    )  # fmt: skip
    return "| " + " | ".join(cells) + " |"


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--parts", type=int, default=500)
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    asked = parser.parse_args()
    out = Console(width=200, highlight=False)
    out.print("| " + " | ".join(COLUMNS) + " |")
    out.print("|---" * len(COLUMNS) + "|")
    with ProcessPoolExecutor(asked.processes) as pool:
        for e_fold in E_FOLDS_MV:
            found = pool.map(searched, [e_fold] * asked.parts, range(asked.parts), chunksize=5)
            out.print(row(e_fold, list(found)))


if __name__ == "__main__":
    main()
