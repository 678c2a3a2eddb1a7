"""Which of the open slots is run next: blocks in order, and in a block the test that is settled soonest."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from evenhand.records.plans import Slot


def in_order(
    slots: Sequence[Slot], *, begun: Collection[tuple[int, str]], cost: Mapping[str, float]
) -> tuple[Slot, ...]:
    """Open slots in the order in which they are to be run.

    Block by block, since a block has its boots. In a block a test that was `begun` (block, test) is finished
    first, so that its setups meet; then the test with the least `cost`, the minutes in which it may settle;
    those without a cost keep the order that was drawn, after the others. Slots of one test and block keep
    theirs always.

    >>> def slot(number, test):
    ...     return Slot(number=number, block=1, test=test, setup="a", boot="a-1", order=number, minutes=1.0)
    >>> [s.test for s in in_order([slot(1, "x"), slot(2, "y")], begun=(), cost={"y": 12.0})]
    ['y', 'x']
    """
    first = {(slot.block, slot.test): slot.number for slot in reversed(slots)}

    def rank(slot: Slot) -> tuple[int, bool, float, int, int]:
        here = (slot.block, slot.test)
        return (slot.block, here not in begun, cost.get(slot.test, math.inf), first[here], slot.number)

    return tuple(sorted(slots, key=rank))
