"""The best parts for a budget, out of a large catalogue: ``python -m bench.choosing``.

Against solving the same with a row for every misfit instead of one for every part and kind. Gates no test.
"""

from __future__ import annotations

import time
from itertools import combinations
from random import Random
from unittest.mock import patch

from evenhand.money import choosing
from evenhand.money.choosing import Candidate, Shelf, Terms, best, frontier, near

KINDS = ("processor", "board", "memory", "graphics", "storage", "supply", "case", "cooler")
SCORED = {"processor": 0.35, "graphics": 0.5, "memory": 0.1, "storage": 0.05}


def catalogue(each: int, seed: int = 1) -> Shelf:
    """So many parts of each kind, dearer ones better; each goes with some four fifths of the others."""
    rng, made = Random(seed), []
    for kind in KINDS:
        for n in range(each):
            level = rng.random()
            watts = -(350 + 600 * level) if kind == "supply" else 20 + 230 * level
            score = SCORED.get(kind, 0.0) * (level + 0.2 * rng.random())
            minor = round(4000 + 60000 * level * (1.0 if kind == "graphics" else 0.3) + 4000 * rng.random())
            made.append(
                Candidate(key=f"{kind}-{n}", kind=kind, minor=minor, score=score, uses={"watts": watts})
            )
    pairs = [frozenset((a.key, b.key)) for a, b in combinations(made, 2) if a.kind != b.kind]
    return Shelf(
        candidates=tuple(made), kinds=KINDS, misfits={"any": frozenset(rng.sample(pairs, len(pairs) // 5))}
    )


def row_for_each(shelf: Shelf) -> dict[int, list[list[int]]]:
    """The same bound in its plain form: of two that do not fit, one at most."""
    place = {each.key: i for i, each in enumerate(shelf.candidates)}
    found: dict[int, list[list[int]]] = {}
    for pair in shelf.barred:
        i, j = sorted(place[key] for key in pair)
        rest = [k for k in shelf.of_kind[shelf.candidates[j].kind] if k != j]
        found.setdefault(i, []).append(rest)
    return found


def main() -> None:
    """Measure, and print markdown."""
    shelf, terms = catalogue(40), Terms(budget_minor=120_000, limits={"watts": -50.0}, time_limit_s=60.0)
    budgets = range(60_000, 160_000, 5_000)
    best(shelf, terms)
    ours = timed(lambda: best(shelf, terms))
    with patch.object(choosing, "_partners", row_for_each):
        plain = timed(lambda: best(shelf, terms))
    print(f"{len(shelf.candidates)} parts, {len(shelf.barred)} misfits, budget 1,200")
    print("| what | s | goal |\n|---|---|---|")
    print(f"| one budget | {ours:.2f}, {ours / plain:.2f} times a row for each misfit | ≤ 0.5 |")
    print(f"| {len(budgets)} budgets | {timed(lambda: frontier(shelf, terms, budgets)):.2f} | ≤ 3 |")
    print(f"| ties within 1 % | {timed(lambda: near(shelf, terms, within=0.01)):.2f} | |")


def timed(work: object) -> float:
    """Seconds of one call."""
    begun = time.perf_counter()
    work()  # type: ignore[operator]
    return time.perf_counter() - begun


if __name__ == "__main__":
    main()
