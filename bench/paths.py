"""Upgrade paths over a large market: ``python -m bench.paths``.

36 months, 60 parts of six kinds, two changes; against going through every line of machines, none left out.
Gates no test.
"""

from __future__ import annotations

import time
from itertools import combinations
from random import Random
from unittest.mock import patch

import numpy as np
import numpy.typing as npt

from evenhand.money import paths
from evenhand.money.market import Ware, Ways, Whole
from evenhand.money.paths import best_paths, kept_worth, worth_over
from evenhand.stats.spread import Floats

KINDS = ("processor", "board", "memory", "graphics", "supply", "cooler")
SCORED = {"processor": 0.4, "graphics": 0.6, "memory": 0.1}
MONTHS = 36


def market(each: int, at_once: int, seed: int = 2) -> Ways:
    """So many parts of each kind, dearer ones better, a sixth of all pairs barred."""
    rng, wares = Random(seed), []
    for kind in KINDS:
        for n in range(each):
            level = rng.random()
            minor = round(3000 + 40_000 * level * (1.0 if kind == "graphics" else 0.4))
            watts = -(350 + 500 * level) if kind == "supply" else 20 + 200 * level
            ware = Ware(
                key=f"{kind}-{n}", kind=kind, score=SCORED.get(kind, 0.0) * level, uses={"watts": watts},
                costs=(costs := worth_over(minor, months=MONTHS, lost_a_month=0.008)),
                fetches=kept_worth(costs, share=0.75, lost_a_month=0.025),
            )  # fmt: skip
            wares.append(ware)
    owned = tuple(f"{kind}-0" for kind in KINDS)
    pairs = [frozenset((a.key, b.key)) for a, b in combinations(wares, 2) if a.kind != b.kind]
    barred = frozenset(pair for pair in rng.sample(pairs, len(pairs) // 6) if not pair <= set(owned))
    return Ways(
        wares=tuple(wares), owned=owned, months=MONTHS, at_once=at_once, cash_minor=30_000, saved_minor=1500,
        barred=barred, limits={"watts": 0.0},
    )  # fmt: skip


def main() -> None:
    """Measure, and print markdown."""
    print("| what | paths | s | goal |\n|---|---|---|---|")
    for each, at_once in ((10, 1), (10, 2)):
        took, found = timed(market(each, at_once))
        print(f"| {6 * each} parts, {at_once} at once | {found} | {took:.2f} | ≤ 5 |")
    small = market(4, 1)
    ours, found = timed(small)
    with patch.object(paths._Front, "beats", nothing):  # noqa: SLF001
        whole, _ = timed(small)
    print(f"| 24 parts, 1 at once | {found} | {ours:.2f}, {ours / whole:.2f} times with nothing left out | |")


def nothing(_: object, costs: Whole, __: Floats, ___: Floats) -> npt.NDArray[np.bool_]:
    """Nothing is beaten."""
    return np.zeros(costs.shape, dtype=np.bool_)


def timed(ways: Ways) -> tuple[float, int]:
    """Seconds, and how many paths were found."""
    begun = time.perf_counter()
    found = best_paths(ways)
    return time.perf_counter() - begun, len(found)


if __name__ == "__main__":
    main()
