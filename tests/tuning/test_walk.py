"""The walk along the edge: never a leap towards failure, and the same answer as trying every point."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from evenhand.tuning.walk import Map, Point, Purpose, against_order, edges_of, next_point

CLOCKS = tuple(5000.0 + 50 * i for i in range(7))
VOLTS = tuple(1000.0 + 5 * i for i in range(41))
GRID = Map(clocks_mhz=CLOCKS, voltages_mv=VOLTS, start=(0, 20))


def walked(grid: Map, holds: Mapping[Point, bool]) -> dict[Point, bool]:
    """What was tried when the walk was done, in its order."""
    tried: dict[Point, bool] = {}
    while (found := next_point(grid, tried)) is not None:
        assert found.point not in tried
        tried[found.point] = holds[found.point]
    return tried


def sharp(edges: tuple[float, ...]) -> dict[Point, bool]:
    """A part that holds from so many millivolts on at each clock."""
    return {(c, v): VOLTS[v] >= edges[c] for c in range(len(CLOCKS)) for v in range(len(VOLTS))}


def test_it_begins_at_stock() -> None:
    found = next_point(GRID, {})
    assert found is not None
    assert (found.point, found.purpose) == ((0, 20), Purpose.BEGIN)


def test_where_stock_fails_nothing_is_tried_further() -> None:
    assert next_point(GRID, {(0, 20): False}) is None


@pytest.mark.parametrize("seed", range(500))
def test_a_sharp_edge_is_found_as_by_trying_every_point_with_few_of_them(seed: int) -> None:
    rng = np.random.default_rng(seed)
    rises = rng.uniform(0, 30, len(CLOCKS) - 1)
    edges = tuple(float(e) for e in rng.uniform(1010, 1090) + np.concatenate([[0], np.cumsum(rises)]))
    holds = sharp(edges)
    tried = walked(GRID, holds)
    highest = max(c for c, _ in tried)
    assert edges_of(tried, range(highest + 1)) == edges_of(holds, range(highest + 1))
    assert highest == len(CLOCKS) - 1 or edges[highest] > VOLTS[-1]
    assert len(tried) <= 0.3 * GRID.points


def test_an_edge_where_failures_come_at_random_is_found_as_near_as_by_trying_every_point() -> None:
    off, shares = [], []
    for seed in range(100):
        rng = np.random.default_rng([seed, 1])
        edges = rng.uniform(1020, 1060) + np.concatenate([[0], np.cumsum(rng.uniform(0, 18, 6))])
        lasts = {(c, v): np.exp((VOLTS[v] - edges[c]) / 5) for c in range(7) for v in range(41)}
        holds = {point: bool(rng.exponential(mean) >= 1) for point, mean in lasts.items()}
        tried = walked(GRID, holds)
        found = [edges_of(outcomes, range(7)) for outcomes in (tried, holds)]
        off += [VOLTS[a] - VOLTS[b] for a, b in zip(*(each.values() for each in found), strict=True)
                if a is not None and b is not None]  # fmt: skip
        shares.append(len(tried) / GRID.points)
    assert max(shares) <= 0.6
    assert len(off) == 700
    assert abs(np.mean(off)) <= 5
    assert np.std(off) <= 10


@pytest.mark.parametrize("seed", range(100))
def test_no_trial_is_more_than_one_step_from_what_held(seed: int) -> None:
    rng = np.random.default_rng(seed)
    holds = {(c, v): bool(rng.random() < v / 40 - c / 20) for c in range(7) for v in range(41)}
    tried: dict[Point, bool] = {}
    while (found := next_point(GRID, tried)) is not None:
        clock, voltage = found.point
        held = [point for point, ok in tried.items() if ok]
        if found.purpose is Purpose.LOWER:
            assert (clock, voltage + 1) in held
        if found.purpose is Purpose.HIGHER_CLOCK:
            assert any(c == clock - 1 and v <= voltage for c, v in held)
        if found.purpose is Purpose.RAISE:
            assert all(v < voltage for (c, v), ok in tried.items() if c == clock and not ok)
        if found.purpose is Purpose.DEEPER:
            assert voltage >= max(v for (c, v), ok in tried.items() if c == clock and not ok) - GRID.deeper
        tried[found.point] = holds[found.point]


def test_a_clock_that_fails_up_to_the_limit_ends_the_walk() -> None:
    tried = walked(GRID, sharp((1050.0, 1100.0, *[2000.0] * 5)))
    assert max(c for c, _ in tried) == 2
    assert (2, len(VOLTS) - 1) in tried


def test_it_says_where_a_point_held_that_asks_for_more_than_one_that_failed() -> None:
    assert against_order({(0, 10): False, (0, 9): True, (1, 20): True}) == (((0, 10), (0, 9)),)
    assert against_order({(0, 10): False, (0, 11): True, (1, 9): False}) == ()
