"""The fewest further rows: exact, forbidden pairs kept apart, and an honest end."""

from itertools import combinations, product

import numpy as np
import pytest

from evenhand.stats.designs import Change, Design, changes_between, is_estimable
from evenhand.stats.separating import MOST_CANDIDATES, Rules, candidates, exchanges, separate

THREE = Design(factors=("processor", "board", "graphics"), rows=(("p0", "b0", "g0"), ("p1", "b1", "g1")))
ALL = changes_between(THREE, *THREE.rows)


def test_three_parts_that_all_differ_need_two_further_setups():
    found = separate(THREE, ALL)
    assert found.complete
    assert len(found.rows) == 2
    widened = Design(factors=THREE.factors, rows=THREE.rows + found.rows)
    assert all(is_estimable(widened, [change]) for change in ALL)
    assert found.exchanged == 2


def test_one_part_needs_one():
    assert len(separate(THREE, ALL[2:]).rows) == 1


def test_what_is_known_already_needs_none():
    made = Design(factors=("processor",), rows=(("p0",), ("p1",)))
    assert separate(made, [Change(factor="processor", low="p0", high="p1")]).rows == ()


def test_a_processor_that_does_not_fit_the_other_board_is_not_proposed():
    apart = Rules(
        forbidden=frozenset(
            frozenset(pair)
            for pair in [
                (("processor", "p0"), ("board", "b1")),
                (("processor", "p1"), ("board", "b0")),
            ]
        )
    )
    assert separate(THREE, ALL[2:], apart).rows in [(("p0", "b0", "g1"),), (("p1", "b1", "g0"),)]
    none = separate(THREE, ALL[:1], apart)
    assert (none.rows, none.complete) == (None, True)


def test_held_levels_stay():
    rows = candidates(THREE, Rules(held={"board": "b1"}))
    assert {row[1] for row in rows} == {"b1"}


def test_too_many_possible_setups_are_not_searched_and_that_is_said():
    levels = 9
    wide = Design(
        factors=("a", "b", "c", "d"), rows=tuple((f"a{i}", f"b{i}", f"c{i}", f"d{i}") for i in range(levels))
    )
    assert levels**4 > MOST_CANDIDATES
    found = separate(wide, [Change(factor="a", low="a0", high="a1")])
    assert (found.rows, found.complete) == (None, False)


@pytest.mark.parametrize("seed", range(25))
def test_the_search_agrees_with_trying_every_set(seed):
    rng = np.random.default_rng(seed)
    rows = {tuple(f"{f}{rng.integers(2)}" for f in "pbg") for _ in range(3)}
    made = Design(factors=("p", "b", "g"), rows=tuple(sorted(rows)))
    wanted = [Change(factor=f, low=f"{f}0", high=f"{f}1") for f in "pbg" if len(made.levels[f]) == 2]
    bad = frozenset(
        frozenset({(x[0], x), (y[0], y)})
        for x, y in [("p0", "g1"), ("b1", "g0")]
        if not any({x, y} <= set(row) for row in rows) and rng.random() < 0.5
    )
    rules = Rules(forbidden=bad)
    found = separate(made, wanted, rules)
    assert found.complete
    assert (None if found.rows is None else (len(found.rows), found.exchanged)) == _brute(made, wanted, rules)


def _brute(made, wanted, rules):
    every = product(*made.levels.values())
    offered = [row for row in every if row not in made.rows and rules.allow(made.factors, row)]
    for size in range(5):
        enough = [
            sum(exchanges(made, row) for row in chosen)
            for chosen in combinations(offered, size)
            if all(
                is_estimable(Design(factors=made.factors, rows=made.rows + chosen), [change])
                for change in wanted
            )
        ]
        if enough:
            return size, min(enough)
    return None
