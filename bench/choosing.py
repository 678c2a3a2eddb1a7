"""The best parts for a budget, out of a large catalogue: ``python -m bench.choosing``.

Against solving the same plainly: with a row for every misfit, and every part. Gates no test.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import partial
from random import Random
from typing import Any
from unittest.mock import patch

from evenhand.money import bounds, choosing
from evenhand.money.choosing import best
from evenhand.money.further import frontier, ties
from evenhand.money.shelves import Candidate, Misfits, Shelf, Terms

KINDS = ("processor", "board", "memory", "graphics", "storage", "supply", "case", "cooler")
SCORED = {"processor": 0.35, "graphics": 0.5, "memory": 0.1, "storage": 0.05}


def catalogue(each: int, seed: int = 1) -> Shelf:
    """So many parts of each kind, dearer ones better, that fit by sockets, sizes and plugs."""
    rng, made, facts = Random(seed), [], {}
    for kind in KINDS:
        for n in range(each):
            level = rng.random()
            watts = -(350 + 600 * level) if kind == "supply" else 20 + 230 * level
            score = SCORED.get(kind, 0.0) * (level + 0.2 * rng.random())
            minor = round(4000 + 60000 * level * (1.0 if kind == "graphics" else 0.3) + 4000 * rng.random())
            key = f"{kind}-{n}"
            made.append(Candidate(key=key, kind=kind, minor=minor, score=score, uses={"watts": watts}))
            facts[key] = {
                "socket": rng.randrange(3), "sockets": rng.sample(range(3), 2), "memory": rng.randrange(2),
                "size": rng.randrange(3), "long": rng.randint(200, 340), "room": rng.randint(260, 420),
                "high": rng.randint(60, 170), "under": rng.randint(120, 185),
                "plug": rng.random() < 0.4 * level,
            }  # fmt: skip
    return Shelf(candidates=tuple(made), kinds=KINDS, misfits=misfits(made, facts))


def misfits(made: list[Candidate], facts: dict[str, dict[str, Any]]) -> dict[str, Misfits]:
    """Pairs that do not go together, by rule."""
    wrong: dict[tuple[str, str, str], Callable[[dict[str, Any], dict[str, Any]], bool]] = {
        ("socket", "processor", "board"): lambda p, b: p["socket"] != b["socket"],
        ("memory", "board", "memory"): lambda b, m: b["memory"] != m["memory"],
        ("memory", "processor", "memory"): lambda p, m: p["socket"] == 2 and m["memory"] == 0,
        ("size", "board", "case"): lambda b, c: b["size"] > c["size"],
        ("length", "graphics", "case"): lambda g, c: g["long"] > c["room"],
        ("height", "case", "cooler"): lambda c, k: k["high"] > c["under"],
        ("cooler", "board", "cooler"): lambda b, k: b["socket"] not in k["sockets"],
        ("plug", "graphics", "supply"): lambda g, s: g["plug"] and not s["plug"],
    }
    found: dict[str, set[frozenset[str]]] = {}
    for (rule, one, other), is_wrong in wrong.items():
        own, others = ([each.key for each in made if each.kind == kind] for kind in (one, other))
        pairs = {frozenset((a, b)) for a in own for b in others if is_wrong(facts[a], facts[b])}
        found.setdefault(rule, set()).update(pairs)
    return {rule: frozenset(pairs) for rule, pairs in found.items()}


def row_for_each(shelf: Shelf) -> Iterator[tuple[int, set[int]]]:
    """The same bound in its plain form: of two that do not fit, one at most."""
    place = {each.key: i for i, each in enumerate(shelf.candidates)}
    for pair in shelf.barred:
        i, j = (place[key] for key in pair)
        yield i, {j}


def as_it_is(shelf: Shelf) -> Shelf:
    """Every part."""
    return shelf


def main() -> None:
    """Measure, and print markdown."""
    shelf, terms = catalogue(40), Terms(budget_minor=120_000, limits={"watts": -50.0}, time_limit_s=60.0)
    budgets = range(60_000, 160_000, 5_000)
    best(shelf, terms)
    ours = timed(lambda: best(shelf, terms))
    with (
        patch.object(bounds, "_misfits_of", row_for_each),
        patch.object(choosing, "without_worse", as_it_is),
    ):
        plain = timed(lambda: best(shelf, terms))
    print(f"{len(shelf.candidates)} parts, {len(shelf.barred)} misfits, budget 1,200")
    print("| what | s | goal |\n|---|---|---|")
    print(f"| one budget | {ours:.2f}, {ours / plain:.2f} times the plain way | ≤ 0.5 |")
    find = partial(best, shelf)
    print(f"| {len(budgets)} budgets | {timed(lambda: list(frontier(find, terms, budgets))):.2f} | ≤ 3 |")
    print(f"| ties within 1 % | {timed(lambda: ties(find, terms, within=0.01)):.2f} | |")


def timed(work: object) -> float:
    """Seconds of one call."""
    begun = time.perf_counter()
    work()  # type: ignore[operator]
    return time.perf_counter() - begun


if __name__ == "__main__":
    main()
