"""A layout keeps drift, boots and rooms from favouring a setup, and says how long it takes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence

import pytest

from evenhand.plans.laying import Begin, Bench, Pace, lay_out, minutes_of
from evenhand.records.plans import Slot

TESTS = ("quay", "lantern", "render")
TWO = Bench(rigs={"plover": "plover", "dunlin": "dunlin"}, minutes={"render": 6.0})
SHARED = Bench(rigs={"plover": "plover", "plover-tuned": "plover", "dunlin": "dunlin"})


def needs(bench: Bench, runs: int) -> dict[tuple[str, str], int]:
    return {(test, setup): runs for test in TESTS for setup in bench.rigs}


def laid(bench: Bench = TWO, runs: int = 4, *, seed: int = 1, pace: Pace | None = None) -> tuple[Slot, ...]:
    return lay_out(needs(bench, runs), bench=bench, pace=pace or Pace(), seed=seed)


def places(slots: Sequence[Slot], test: str) -> dict[str, int]:
    """The sum of the places of each setup's runs of a test."""
    found: dict[str, int] = defaultdict(int)
    for place, slot in enumerate(s for s in slots if s.test == test):
        found[slot.setup] += place
    return found


def test_every_cell_gets_its_runs_each_from_a_boot_of_its_own() -> None:
    slots = laid()
    assert Counter((s.test, s.setup) for s in slots) == dict.fromkeys(needs(TWO, 1), 4)
    assert len({(s.test, s.boot) for s in slots}) == len(slots)
    assert all(s.boot == f"{s.setup}-{s.block}" for s in slots)


def test_numbers_and_orders_rise_one_by_one() -> None:
    slots = laid()
    assert [s.number for s in slots] == [s.order for s in slots] == list(range(1, len(slots) + 1))


def test_two_setups_take_turns_as_a_b_b_a_in_every_test() -> None:
    for test in TESTS:
        who = [s.setup for s in laid() if s.test == test]
        assert who[0] != who[1]
        assert who == [who[0], who[1], who[1], who[0]] * 2


def test_within_a_block_not_all_tests_begin_with_the_same_setup() -> None:
    block = [s for s in laid() if s.block == 1]
    assert {next(s.setup for s in block if s.test == test) for test in TESTS} == {"plover", "dunlin"}


@pytest.mark.parametrize("seed", range(5))
def test_over_mirrored_blocks_a_straight_drift_favours_no_setup(seed: int) -> None:
    for bench in (TWO, Bench(rigs={k: k for k in "abc"}), Bench(rigs={k: k for k in "abcd"})):
        for test in TESTS:
            assert len(set(places(laid(bench, 2, seed=seed), test).values())) == 1


def test_the_order_of_tests_is_drawn_anew_for_each_block_and_the_same_seed_draws_it_again() -> None:
    def order(slots: Sequence[Slot], block: int) -> list[str]:
        return list(dict.fromkeys(s.test for s in slots if s.block == block))

    slots = laid(runs=8)
    assert len({tuple(order(slots, block)) for block in range(1, 9)}) > 1
    assert laid(runs=8) == slots
    assert laid(runs=8, seed=2) != slots


def test_setups_of_one_rig_follow_each_other_a_boot_each_and_in_mirrored_order() -> None:
    slots = laid(SHARED, 2)
    boots = [
        list(dict.fromkeys(s.boot for s in slots if s.block == b and s.setup != "dunlin")) for b in (1, 2)
    ]
    for block in (1, 2):
        own = [s.boot for s in slots if s.block == block and s.setup != "dunlin"]
        assert own == sorted(own, key=own.index)  # a boot is not come back to
    assert [b.rsplit("-", 1)[0] for b in boots[0]] == [b.rsplit("-", 1)[0] for b in boots[1]][::-1]


def test_rigs_that_run_at_once_take_the_same_test_at_the_same_time() -> None:
    slots = laid(pace=Pace(at_once=2))
    by_turn: dict[int, list[Slot]] = defaultdict(list)
    for slot in slots:
        by_turn[slot.turn].append(slot)
    assert all(len(turn) == 2 and len({s.test for s in turn}) == 1 for turn in by_turn.values())
    assert len({s.order for s in slots}) == len(slots)


def test_one_rig_never_runs_two_setups_at_once() -> None:
    for turn in {s.turn for s in laid(SHARED, 3, pace=Pace(at_once=3))}:
        rigs = [SHARED.rigs[s.setup] for s in laid(SHARED, 3, pace=Pace(at_once=3)) if s.turn == turn]
        assert len(rigs) == len(set(rigs))


def test_minutes_hold_the_test_the_warm_up_and_a_restart_for_the_first_run_of_a_boot() -> None:
    slots = laid(pace=Pace(warm_up=2.0, reboot=5.0))
    booted: set[str] = set()
    for slot in slots:
        length = 6.0 if slot.test == "render" else 4.0  # 4 min where a test does not say
        assert slot.minutes == length + 2.0 + (0.0 if slot.boot in booted else 5.0)
        assert slot.warm_up == 2.0
        booted.add(slot.boot)


def test_runs_at_the_same_time_are_counted_once() -> None:
    one_by_one, at_once = laid(), laid(pace=Pace(at_once=2))
    assert minutes_of(at_once) == pytest.approx(minutes_of(one_by_one) / 2)


def test_a_block_is_not_spread_over_two_days() -> None:
    slots = laid(runs=8, pace=Pace(day=100.0))
    days: dict[int, set[int]] = defaultdict(set)
    for slot in slots:
        days[slot.block].add(slot.day)
    assert all(len(day) == 1 for day in days.values())
    for day in range(1, max(s.day for s in slots) + 1):
        assert minutes_of([s for s in slots if s.day == day]) <= 100.0


def test_cells_that_lack_less_drop_out_and_the_rest_stays_balanced() -> None:
    wanted = needs(TWO, 4) | {("quay", "plover"): 1, ("quay", "dunlin"): 1}
    slots = lay_out(wanted, bench=TWO, pace=Pace(), seed=1)
    assert Counter(s.test for s in slots) == {"quay": 2, "lantern": 8, "render": 8}
    assert len(set(places(slots, "lantern").values())) == 1


def test_a_layout_takes_up_where_another_ended() -> None:
    begin = Begin(number=41, block=6, order=90, turn=30, day=2, used=50.0)
    slots = lay_out(needs(TWO, 1), bench=TWO, pace=Pace(day=60.0), seed=1, begin=begin)
    first = slots[0]
    assert (first.number, first.block, first.order, first.turn, first.day) == (41, 6, 90, 30, 3)
    assert first.boot.endswith("-6")


def test_nothing_needed_is_nothing_laid_out() -> None:
    assert lay_out({}, bench=TWO, pace=Pace(), seed=1) == ()
