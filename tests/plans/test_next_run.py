"""Which open slot is run next."""

from __future__ import annotations

from evenhand.plans.next_run import in_order
from evenhand.records.plans import Slot


def slot(number: int, block: int, test: str, setup: str) -> Slot:
    return Slot(
        number=number, block=block, test=test, setup=setup, boot=f"{setup}-{block}", order=number, minutes=5.0
    )


DAY = tuple(
    slot(4 * (block - 1) + 2 * place + i + 1, block, test, setup)
    for block in (1, 2)
    for place, test in enumerate(("quay", "lantern"))
    for i, setup in enumerate(("a", "b"))
)


def numbers(slots: tuple[Slot, ...]) -> list[int]:
    return [s.number for s in slots]


def test_without_costs_the_drawn_order_holds() -> None:
    assert numbers(in_order(DAY, begun=(), cost={})) == list(range(1, 9))


def test_the_test_that_settles_soonest_goes_first_within_its_block() -> None:
    ordered = in_order(DAY, begun=(), cost={"quay": 40.0, "lantern": 10.0})
    assert numbers(ordered) == [3, 4, 1, 2, 7, 8, 5, 6]


def test_a_test_that_was_begun_is_finished_first_so_that_its_setups_meet() -> None:
    left = tuple(s for s in DAY if s.number != 1)
    ordered = in_order(left, begun={(1, "quay")}, cost={"quay": 40.0, "lantern": 10.0})
    assert numbers(ordered)[:3] == [2, 3, 4]


def test_a_test_that_no_look_would_settle_goes_last() -> None:
    assert numbers(in_order(DAY, begun=(), cost={"lantern": 99.0}))[:4] == [3, 4, 1, 2]
