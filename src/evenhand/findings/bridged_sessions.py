"""Four cells of one test, two of them a bridge, read for replicates and for what they leave unseen."""

from __future__ import annotations

import math
from dataclasses import replace

from evenhand.findings.drifting import drifted
from evenhand.findings.exposure import exposed
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.sessions import Beside, Boots, Replicates, Sessions, boots_in, replicate_logs

BEYOND = 10**9  # added to places in the order, which began at 1 again under other conditions
WEIGHTS = {"a": 1.0, "b": -1.0, "beside a": -1.0, "beside b": 1.0}


def read_bridged(a: Cell, b: Cell, *, beside: tuple[Cell, Cell], boot_allowance: float) -> Sessions:
    """Replicates and allowance of ln a − ln b − (ln beside a − ln beside b); all values are above 0.

    Cells under different conditions never took turns. An error of a session that a setup shares with the
    bridge, both taking turns, cancels; else it is allowed for (`exposure.exposed`), and so is what a drift of
    the bridge may make (`drifting.drifted`). Boots are the replicates where all four cells have two or more.
    """
    cells = dict(zip(WEIGHTS, (a, later(b), beside[0], later(beside[1])), strict=True))
    weight, caveats = exposed(cells, WEIGHTS)
    allowance = weight * math.log1p(boot_allowance)
    if allowance:
        words = "allowance for errors that the runs of one boot or session share: "
        caveats.append(Caveat(key="allowance", words=f"{words}{100 * math.expm1(allowance):.3g} % in all"))
    drift, unsteady = drifted(cells, WEIGHTS)
    boots = {name: boots_in(cell) for name, cell in cells.items()}
    by_boot = all(len(found) >= 2 for found in boots.values())
    used: dict[str, Boots] = boots if by_boot else {name: {} for name in cells}
    logs = {name: replicate_logs(cell, used[name]) for name, cell in cells.items()}
    runs = sum(len(cell.observations) for cell in cells.values())
    return Sessions(
        kind=Replicates.BOOTS if by_boot else Replicates.RUNS, logs_a=logs["a"], logs_b=logs["b"],
        boots_a=tuple(used["a"]), boots_b=tuple(used["b"]),
        runs_per_replicate=math.ceil(runs / sum(map(len, logs.values()))),
        allowance=allowance + drift, drift=drift, caveats=(*caveats, *unsteady),
        beside=Beside(
            machine=beside[0].setup, logs_a=logs["beside a"], logs_b=logs["beside b"],
            boots_a=tuple(used["beside a"]), boots_b=tuple(used["beside b"]),
        ),
    )  # fmt: skip


def later(cell: Cell) -> Cell:
    """The cell with its places in the order moved beyond those under other conditions."""
    moved = (replace(o, order=None if o.order is None else o.order + BEYOND) for o in cell.observations)
    return replace(cell, observations=tuple(moved))
