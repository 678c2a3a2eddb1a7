"""Boots and order: what counts as a repeat, and what must be allowed for."""

import math
from dataclasses import replace

import pytest

from evenhand.findings.finding import Cell, Observation, Under
from evenhand.findings.sessions import Replicates, read_sessions, shares_first


def cell(setup, *runs, better="higher"):
    """Runs as (value, boot, order)."""
    seen = tuple(Observation(run=f"{setup}{i}", value=v, boot=b, order=o) for i, (v, b, o) in enumerate(runs))
    return Cell(test="t", setup=setup, metric="fps", better=better, observations=seen)


def abba(setup, values):
    """One boot a run, first and second in turns."""
    turn = 0 if setup == "a" else 1
    return cell(
        setup, *((v, f"{setup}{k}", 2 * k + (turn if k % 2 == 0 else 1 - turn)) for k, v in enumerate(values))
    )


def keys(sessions):
    return [c.key for c in sessions.caveats]


def read(a, b):
    return read_sessions(a, b, boot_allowance=0.01)


def test_three_interleaved_boots_are_replicates_without_allowance():
    s = read(abba("a", [10, 11, 12]), abba("b", [9, 10, 11]))
    assert (s.kind, s.allowance, s.caveats) == (Replicates.BOOTS, 0.0, ())
    assert s.logs_a == pytest.approx([math.log(v) for v in (10, 11, 12)])


def test_four_interleaved_boots_are_blocks_that_may_be_paired():
    s = read(abba("a", [10, 11, 12, 13]), abba("b", [9, 10, 11, 12]))
    assert (s.kind, s.boots_a) == (Replicates.BLOCKS, ("a0", "a1", "a2", "a3"))


def test_blocks_that_overlap_in_order_are_not_paired():
    a = cell("a", *((10, f"a{k}", k) for k in (0, 1, 4, 5)))
    b = cell("b", *((10, f"b{k}", k) for k in (2, 3, 6, 7)))
    assert read(a, b).kind is Replicates.BOOTS


def test_several_runs_of_a_boot_are_one_replicate_their_mean_log():
    a = cell("a", (10, "a1", 0), (12, "a1", 3), (9, "a2", 4), (11, "a2", 7))
    b = cell("b", (10, "b1", 1), (12, "b1", 2), (9, "b2", 5), (11, "b2", 6))
    s = read(a, b)
    assert s.kind is Replicates.BOOTS
    assert s.logs_a == pytest.approx([math.log(math.sqrt(120)), math.log(math.sqrt(99))])
    assert s.runs_per_replicate == 2


def test_one_boot_on_one_side_costs_one_allowance():
    a = cell("a", (10, "a1", 0), (11, "a2", 3), (12, "a3", 4))
    b = cell("b", (10, "b1", 1), (11, "b1", 2), (12, "b1", 5))
    s = read(a, b)
    assert s.allowance == pytest.approx(math.log(1.01))
    assert keys(s) == ["one-boot", "allowance"]
    assert "all 3 runs" in s.caveats[0].told()
    assert "1 % for one side" in s.caveats[1].told()


def test_one_boot_a_side_costs_two():
    a = cell("a", (10, "a1", 0), (11, "a1", 3))
    b = cell("b", (10, "b1", 1), (11, "b1", 2))
    s = read(a, b)
    assert s.kind is Replicates.RUNS
    assert s.allowance == pytest.approx(2 * math.log(1.01))
    assert "2 sides" in s.caveats[-1].told()


def test_all_of_one_setup_before_the_other_costs_both_sides_though_boots_repeat():
    a = cell("a", *((10 + k, f"a{k}", k) for k in range(4)))
    b = cell("b", *((10 + k, f"b{k}", 10 + k) for k in range(4)))
    s = read(a, b)
    assert s.allowance == pytest.approx(2 * math.log(1.01))
    assert "all 4 runs of a came before the 4 of b" in s.caveats[0].told()
    assert keys(read(b, a)) == keys(s)


def test_one_machine_on_both_sides_of_a_change_is_told_apart_by_it():
    a, b = (
        replace(
            cell(key, *((10 + k, f"{key}{k}", at + k) for k in range(4))),
            under=Under(machine="heron", names=(driver,)),
        )
        for key, at, driver in (("a", 0, "driver 1"), ("b", 10, "driver 2"))
    )
    told = read(a, b).caveats[0].told()
    assert told == "not interleaved: all 4 runs of a under driver 1 came before the 4 of b under driver 2"
    other = replace(b, under=Under(machine="gull", names=("driver 2",)))
    assert "all 4 runs of a came before the 4 of b" in read(a, other).caveats[0].told()


@pytest.mark.parametrize(
    ("first", "later", "words"),
    [
        (1, 1, "not interleaved: the one run of a came before the one of b"),
        (1, 3, "not interleaved: the one run of a came before the 3 of b"),
        (3, 1, "not interleaved: all 3 runs of a came before the one of b"),
    ],
)
def test_one_run_before_another_is_told_in_the_singular(first, later, words):
    a = cell("a", *((10 + k, f"a{k}", k) for k in range(first)))
    b = cell("b", *((10 + k, f"b{k}", 10 + k) for k in range(later)))
    assert words in [caveat.told() for caveat in read(a, b).caveats]


def test_boots_or_order_not_on_record_cost_what_they_hide():
    unplaced = cell("a", (10, None, None), (11, None, None))
    s = read(unplaced, cell("b", (10, "b1", 0), (11, "b2", 1)))
    assert keys(s) == ["boots-unknown", "order-unknown", "allowance"]
    assert s.allowance == pytest.approx(2 * math.log(1.01))
    ordered = cell("a", (10, None, 0), (11, None, 3), (12, None, 4))
    s = read(ordered, abba("b", [10, 11, 12]))
    assert keys(s) == ["boots-unknown", "allowance"]
    assert s.allowance == pytest.approx(math.log(1.01))


def test_where_lower_is_better_the_log_is_turned():
    s = read_sessions(
        cell("a", (10, None, 0), (20, None, 1), better="lower"),
        cell("b", (10, None, 2), (20, None, 3), better="lower"),
        boot_allowance=0.01,
    )
    assert s.logs_a == pytest.approx([-math.log(10), -math.log(20)])


def test_runs_that_share_a_place_in_the_order_are_told():
    a = cell("a", (10, "a1", 0), (11, "a2", 3), (12, "a3", 4))
    b = cell("b", (10, "b1", 1), (11, "b2", 3), (12, "b3", 5))
    s = read(a, b)
    assert keys(s) == ["order-shared"]
    assert s.caveats[0].told() == "2 of 6 runs share place 3 in the order"
    assert s.allowance == 0.0  # in turns, whichever of the two came first


def test_two_runs_of_one_side_at_one_place_are_told_too():
    a = cell("a", (10, "a1", 0), (11, "a2", 0), (12, "a3", 4))
    assert "order-shared" in keys(read(a, abba("b", [10, 11, 12])))
    assert "order-shared" in keys(read(abba("b", [10, 11, 12]), a))


def test_several_shared_places_are_counted():
    a, b = (cell(x, *((10 + k, f"{x}{k}", k) for k in range(4))) for x in ("a", "b"))
    told = next(c for c in read(a, b).caveats if c.key == "order-shared")
    assert told.told() == "8 of 8 runs share 4 places in the order"


def test_where_shared_places_hide_who_came_first_the_order_is_unknown():
    a = cell("a", *((10 + k, f"a{k}", 1) for k in range(3)))
    b = cell("b", *((10 + k, f"b{k}", 1) for k in range(3)))
    s = read(a, b)
    assert keys(s) == ["order-unknown", "allowance", "order-shared"]
    assert s.allowance == pytest.approx(2 * math.log(1.01))
    assert keys(read(b, a)) == keys(s)


def test_a_shared_place_does_not_make_turns_of_a_sequence():
    a = cell("a", *((10 + k, f"a{k}", k) for k in range(4)))
    b = cell("b", *((10 + k, f"b{k}", 3 + k) for k in range(4)))
    s = read(a, b)
    assert keys(s) == ["not-interleaved", "allowance", "order-shared"]
    assert "nearly all 4 runs of a came before the 4 of b" in s.caveats[0].told()


def test_as_many_pairs_have_either_first_for_turns_and_all_for_a_sequence():
    a, b = abba("a", [1, 1, 1, 1]), abba("b", [1, 1, 1, 1])
    assert shares_first(a, b) == (0.5, 0.5)
    assert shares_first(cell("a", (1, "x", 0)), cell("b", (1, "y", 1))) == (1.0, 1.0)
    assert shares_first(cell("a", (1, "x", 1)), cell("b", (1, "y", 1))) == (0.0, 1.0)
    assert shares_first(cell("a", (1, "x", None)), cell("b", (1, "y", 1))) is None
