"""Upgrade paths, held against going through every one of them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, product
from random import Random

import numpy as np
import pytest

from evenhand.money.market import Ware, Ways
from evenhand.money.paths import Path, best_paths, kept_worth, worth_over

KINDS = ("processor", "graphics", "supply")


def market(rng: Random, *, each: int = 3, months: int = 6) -> Ways:
    """So many parts of each kind, a few that do not go together; some money, and some more every month."""
    wares = []
    for kind in KINDS:
        for n in range(each):
            minor, slow, fast = rng.randint(50, 400), rng.choice((0.0, 0.01)), rng.choice((0.01, 0.04))
            watts = -float(rng.randint(200, 500)) if kind == "supply" else float(rng.randint(30, 250))
            wares.append(
                Ware(
                    key=f"{kind}-{n}", kind=kind, score=0.0 if kind == "supply" else rng.random(),
                    costs=(costs := worth_over(minor, months=months, lost_a_month=slow)),
                    fetches=kept_worth(costs, share=0.7, lost_a_month=fast),
                    uses={"watts": watts},
                )
            )  # fmt: skip
    pairs = [frozenset((a.key, b.key)) for a, b in combinations(wares, 2) if a.kind != b.kind]
    owned = tuple(f"{kind}-0" for kind in KINDS)
    barred = frozenset(pair for pair in rng.sample(pairs, len(pairs) // 5) if not pair <= set(owned))
    return Ways(
        wares=tuple(wares), owned=owned, months=months, barred=barred, limits={"watts": 150.0},
        cash_minor=rng.randint(0, 300), saved_minor=rng.randint(0, 60), at_once=rng.choice((1, 2)),
        wholes=(tuple(f"{kind}-{each - 1}" for kind in KINDS),) if rng.random() < 0.5 else (),
        fixed=frozenset({"supply"}) if rng.random() < 0.3 else frozenset(),
        cuts=tuple(tuple(f"{kind}-{rng.randrange(each)}" for kind in KINDS) for _ in range(rng.randrange(4))),
    )  # fmt: skip


def every_path(ways: Ways) -> Iterator[tuple[int, float, float]]:
    """Net cost, mean and least of every path that can be paid, by walking through the months one by one."""
    of = {ware.key: ware for ware in ways.wares}
    machines = list(product(*([w.key for w in ways.wares if w.kind == kind] for kind in KINDS)))

    def may_be(machine: tuple[str, ...]) -> bool:
        used = sum(of[key].uses["watts"] for key in machine)
        apart = any(frozenset(pair) in ways.barred for pair in combinations(machine, 2))
        return used <= 150.0 and not apart and not any(set(cut) <= set(machine) for cut in ways.cuts)

    def one_change(before: tuple[str, ...], after: tuple[str, ...]) -> bool:
        new = [key for key, old in zip(after, before, strict=True) if key != old]
        return len(new) <= ways.at_once and not any(of[key].kind in ways.fixed for key in new)

    def index(machine: tuple[str, ...]) -> float:
        return math.exp(sum(of[key].score for key in machine))

    def walk(
        month: int, machine: tuple[str, ...], since: tuple[int, ...], left: int, paid: int, cash: int,
        seen: list[float],
    ) -> Iterator[tuple[int, float, float]]:  # fmt: skip
        if month == ways.months:
            fetched = sum(
                int(of[key].fetches[begun, month]) for key, begun in zip(machine, since, strict=True)
            )
            yield paid - fetched, sum(seen) / ways.months, min(seen)
            return
        choices = [machine]
        if month and left:
            choices += [
                m for m in machines
                if m != machine and may_be(m) and (m in ways.wholes or one_change(machine, m))
            ]  # fmt: skip
        for choice in choices:
            new = [(a, b, begun) for a, b, begun in zip(machine, choice, since, strict=True) if a != b]
            cost = sum(int(of[b].costs[month] - of[a].fetches[begun, month]) for a, b, begun in new)
            own = tuple(
                month if a != b else begun for a, b, begun in zip(machine, choice, since, strict=True)
            )
            if new and cash - cost < 0:
                continue
            then = left - bool(new), paid + cost, cash - cost + ways.saved_minor, [*seen, index(choice)]
            yield from walk(month + 1, choice, own, *then)

    yield from walk(0, ways.owned, (0,) * len(ways.owned), ways.changes, 0, ways.cash_minor, [])


def unbeaten(points: set[tuple[int, float, float]]) -> set[tuple[int, float, float]]:
    return {
        p for p in points
        if not any(q != p and q[0] <= p[0] and q[1] >= p[1] and q[2] >= p[2] for q in points)
    }  # fmt: skip


def points_of(paths: tuple[Path, ...]) -> list[tuple[int, float, float]]:
    return sorted((path.net_minor, path.mean, path.least) for path in paths)


@pytest.mark.parametrize("tens", range(20))
def test_they_are_what_going_through_every_path_finds(tens: int) -> None:
    for seed in range(10 * tens, 10 * tens + 10):
        ways = market(Random(seed))
        tried = {(cost, round(mean, 9), round(least, 9)) for cost, mean, least in every_path(ways)}
        found, wanted = points_of(best_paths(ways)), sorted(unbeaten(tried))
        assert len(found) == len(wanted), seed
        for one, other in zip(found, wanted, strict=True):
            assert one == pytest.approx(other, abs=1e-8), seed


def test_a_path_says_when_what_is_changed() -> None:
    ways = market(Random(3))
    of = {ware.key: ware for ware in ways.wares}
    for path in best_paths(ways):
        own, since, paid = ways.owned, [0] * len(ways.owned), 0
        for change in path.changes:
            for k, (old, new) in enumerate(zip(own, change.parts, strict=True)):
                if old != new:
                    paid += int(of[new].costs[change.month] - of[old].fetches[since[k], change.month])
                    since[k] = change.month
            own = change.parts
        fetched = sum(int(of[key].fetches[month, -1]) for key, month in zip(own, since, strict=True))
        assert path.net_minor == paid - fetched


def test_keeping_what_is_owned_is_a_path_as_well() -> None:
    ways = replace(market(Random(5)), cash_minor=0, saved_minor=0, wholes=())
    dear = replace(ways, wares=tuple(replace(w, costs=w.costs + 10_000) for w in ways.wares))
    (only,) = best_paths(dear)
    assert only.changes == ()
    assert only.mean == only.least


def test_what_something_is_worth_falls_by_the_month_in_whole_units() -> None:
    worth = worth_over(39_900, months=36, lost_a_month=0.02)
    assert worth.dtype == np.int64
    assert worth[0] == 39_900
    assert worth[36] == round(39_900 * math.exp(-0.72))


def test_what_is_bought_later_fetches_by_how_long_it_was_owned() -> None:
    worth = kept_worth(np.array([400, 300, 300]), share=0.5, lost_a_month=0.1)
    assert worth[0].tolist() == [200, 181, 164]
    assert worth[1].tolist() == [0, 150, 136]
    assert worth[2, 2] == 150
