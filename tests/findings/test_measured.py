"""Sums over cells: their error, and what shared boots and sessions could have done to them."""

import math

import pytest

from evenhand.findings.finding import Cell, Observation
from evenhand.findings.measured import Asked, measured, sums
from evenhand.findings.sessions import read_sessions

ONE = math.log1p(0.01)


def cell(setup, start, step=4, *, boots=True, values=(100, 101, 99), test="t"):
    """Runs at places start, start + step, …, a boot each or all of one."""
    seen = tuple(
        Observation(run=f"{setup}{i}", value=v, boot=f"{setup}{i if boots else 0}", order=start + step * i)
        for i, v in enumerate(values)
    )
    return Cell(test=test, setup=setup, metric="fps", better="higher", observations=seen)


def total(cells, weights):
    made = measured({c.setup: c for c in cells})
    return sums([Asked(of=made, weights=weights)], boot_allowance=0.01)[0]


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (cell("a", 0), cell("b", 1)),
        (cell("a", 0), cell("b", 100)),
        (cell("a", 0, boots=False), cell("b", 1)),
        (cell("a", 0, boots=False), cell("b", 1, boots=False)),
        (cell("a", 0, boots=False), cell("b", 100, boots=False)),
    ],
)
def test_with_two_cells_the_allowance_is_that_of_a_comparison(a, b):
    ours = total([a, b], {"a": 1.0, "b": -1.0})
    theirs = read_sessions(a, b, boot_allowance=0.01)
    assert ours.allowance == pytest.approx(theirs.allowance)
    assert {c.key for c in ours.caveats} == {c.key for c in theirs.caveats}


SQUARE = {"y11": 1.0, "y10": -1.0, "y01": -1.0, "y00": 1.0}


def test_four_cells_in_turns_have_nothing_to_allow_for():
    found = total([cell(name, i) for i, name in enumerate(SQUARE)], SQUARE)
    assert (found.allowance, found.caveats) == (0.0, ())


def test_two_sessions_that_each_hold_both_signs_cancel():
    cells = [cell("y11", 0), cell("y10", 1), cell("y01", 1000), cell("y00", 1001)]
    assert total(cells, SQUARE).allowance == 0.0


def test_two_sessions_of_one_sign_each_do_not():
    cells = [cell("y11", 0), cell("y00", 1), cell("y10", 1000), cell("y01", 1001)]
    found = total(cells, SQUARE)
    assert found.allowance == pytest.approx(4 * ONE)
    assert "not-interleaved" in {c.key for c in found.caveats}


def test_halves_weigh_half():
    cells = [cell(name, 1000 * i) for i, name in enumerate(SQUARE)]
    assert total(cells, {name: w / 2 for name, w in SQUARE.items()}).allowance == pytest.approx(2 * ONE)


def test_a_cell_without_weight_is_not_held_against_anybody():
    cells = [cell("a", 0), cell("b", 1), cell("late", 1000, boots=False)]
    found = total(cells, {"a": 1.0, "b": -1.0})
    assert (found.allowance, found.runs) == (0.0, 6)


def test_cells_without_a_number_above_0_or_at_a_declared_rate_are_left_out():
    locked = Cell(test="t", setup="c", metric="fps", better="higher", observations=(), locked=True)
    made = measured({"a": cell("a", 0), "b": cell("b", 1, values=(1, 0)), "c": locked})
    assert list(made.cells) == ["a"]
    assert measured({"c": locked}) is None


def test_one_test_asked_twice_lends_its_spread_once():
    a, b, c = (cell(name, i) for i, name in enumerate("abc"))
    made = measured({"a": a, "b": b, "c": c})
    other = measured({x.setup: x for x in (cell("a", 0, test="u"), cell("b", 1, test="u"))})
    asked = [Asked(of=made, weights={"a": 1.0, "b": -1.0}), Asked(of=other, weights={"a": 1.0, "b": -1.0})]
    alone = sums(asked, boot_allowance=0.01)
    with_more = sums([*asked, Asked(of=made, weights={"a": 1.0, "c": -1.0})], boot_allowance=0.01)
    assert with_more[:2] == alone
